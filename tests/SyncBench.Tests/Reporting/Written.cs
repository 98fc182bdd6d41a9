using System.Text;
using SyncBench.Reporting;
using SyncBench.Selection;

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

    internal static string Html(DumpResult result)
    {
        using var writer = new StringWriter();
        HtmlReport.Write(writer, result, timeline: null);
        return writer.ToString();
    }
}
