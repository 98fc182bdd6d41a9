using System.Xml;
using System.Xml.Linq;
using SyncBench.Selection;
using SyncBench.Timeline;

namespace SyncBench.Tests.Reporting;

/// <summary>The page as a tree. It is well-formed XML, so that what an XML reader sees is what a browser sees.</summary>
internal static class ReportPage
{
    internal static XElement Of(DumpResult result, TimelineModel? timeline = null)
    {
        using var reader = XmlReader.Create(
            new StringReader(Written.Html(result, timeline)), new XmlReaderSettings { DtdProcessing = DtdProcessing.Ignore });
        return XElement.Load(reader);
    }

    internal static string Section(XElement page, string id) => Words(Element(page, id));

    internal static XElement Element(XElement page, string id) => page.Descendants().Single(e => (string?)e.Attribute("id") == id);

    internal static string Words(XElement element) =>
        string.Join(' ', element.DescendantNodes().OfType<XText>().Select(text => text.Value.Trim()).Where(text => text.Length > 0));
}
