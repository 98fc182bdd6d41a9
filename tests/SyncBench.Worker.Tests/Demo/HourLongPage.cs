namespace SyncBench.Worker.Tests.Demo;

/// <summary>The demo's report with its takes over and over until they are an hour: more takes and clips, each adding as much to the page.</summary>
internal static class HourLongPage
{
    private const string Begin = "<main>", End = "</main>";

    /// <param name="page">The report as HTML.</param>
    /// <param name="length">How long its longest clip is.</param>
    internal static string Of(string page, TimeSpan length)
    {
        int from = page.IndexOf(Begin, StringComparison.Ordinal), to = page.IndexOf(End, StringComparison.Ordinal);
        int times = (int)Math.Ceiling(TimeSpan.FromHours(1) / length);
        return page[..from] + string.Concat(Enumerable.Repeat(page[from..to], times)) + page[to..];
    }
}
