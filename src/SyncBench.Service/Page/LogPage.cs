using SyncBench.Reporting;

namespace SyncBench.Service.Page;

/// <summary>The end of a log.</summary>
internal static class LogPage
{
    private const int LongestTail = 64 << 10;

    internal static HtmlText Of(string title, string? logFile, string shape) => PageFrame.Around(title, shape, $"""
        <p>The last lines; the newest stands at the end.</p>
        <pre tabindex="0" role="region" aria-label="Log">{Lines(logFile).Select(line => (HtmlText)$"{line}\n")}</pre>
        """);

    private static string[] Lines(string? logFile)
    {
        if (!File.Exists(logFile))
        {
            return [];
        }

        using var file = new FileStream(logFile, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
        bool whole = file.Length <= LongestTail;
        file.Position = whole ? 0 : file.Length - LongestTail;
        using var reader = new StreamReader(file);
        string[] lines = reader.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries);
        return whole ? lines : lines[1..];
    }
}
