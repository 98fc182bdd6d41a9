using System.Text;
using SyncBench.Reporting;
using SyncBench.Selection;
using SyncBench.Timeline;

namespace SyncBench.Tests.Reporting;

/// <summary>What the writers make of a result, as bytes and as text.</summary>
internal static class Written
{
    internal static byte[] Bytes(DumpResult result, Action<Stream, DumpResult> write)
    {
        using var stream = new MemoryStream();
        write(stream, result);
        return stream.ToArray();
    }

    internal static string Text(DumpResult result, Action<Stream, DumpResult> write) => Encoding.UTF8.GetString(Bytes(result, write));

    /// <summary>sync.json.</summary>
    internal static byte[] Json(DumpResult result, TimelineModel? timeline = null) =>
        Bytes(result, (stream, dump) => SyncJson.Write(stream, dump, timeline, ["timeline.otio", "clips.csv"]));

    internal static string Html(DumpResult result, TimelineModel? timeline = null, ReportMedia? media = null)
    {
        using var writer = new StringWriter();
        HtmlReport.Write(writer, result, timeline, media ?? ReportMedia.None);
        return writer.ToString();
    }
}
