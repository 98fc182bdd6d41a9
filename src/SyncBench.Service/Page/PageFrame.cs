using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using SyncBench.Reporting;
using SyncBench.Service.Jobs;
using SyncBench.Service.Watching;

namespace SyncBench.Service.Page;

/// <summary>What every page has around it.</summary>
internal static class PageFrame
{
    /// <param name="shape">As <see cref="ShapeOf"/> told; tells an open page whether it is out of date.</param>
    internal static HtmlText Around(string title, string shape, HtmlText content) => $"""
        <!DOCTYPE html>
        <html lang="en" data-shape="{shape}">
        <head>
        <meta charset="utf-8">
        <meta name="viewport" content="width=device-width, initial-scale=1">
        <title>{title}</title>
        <link rel="stylesheet" href="/page.css">
        <script src="/page.js" defer></script>
        </head>
        <body>
        <a class="skip" href="#content">To the content</a>
        <header>
        <nav aria-label="Pages"><ul><li><a href="/">Dumps</a></li><li><a href="/log">Log</a></li></ul></nav>
        <p id="said" role="status"></p>
        </header>
        <main id="content" tabindex="-1">
        <h1><bdi>{title}</bdi></h1>
        {content}
        </main>
        </body>
        </html>

        """;

    /// <summary>Another word whenever states, reasons or the list of dumps differ; progress alone doesn't change it.</summary>
    internal static string ShapeOf(IEnumerable<DumpRecord> dumps, IEnumerable<Arrival> arrivals)
    {
        string whole = string.Join(
            '\n',
            dumps.Select(dump => string.Create(CultureInfo.InvariantCulture, $"{dump.Id} {dump.State} {dump.CancelWanted} {dump.ChangedAt.Ticks} {dump.Reason}"))
                .Concat(arrivals.Select(arrival => arrival.Folder)));
        return Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(whole)).AsSpan(0, 8));
    }
}
