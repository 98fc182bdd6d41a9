using SyncBench.Reporting;
using SyncBench.Service.Jobs;
using SyncBench.Service.Watching;

namespace SyncBench.Service.Page;

/// <summary>All dumps: what wants a person first, then what runs, then what is done.</summary>
internal static class DumpsPage
{
    internal static HtmlText Of(DumpRecord[] dumps, IReadOnlyCollection<Arrival> arrivals, string shape) => PageFrame.Around("Dumps", shape, $"""
        <p class="lead">{Summary(dumps, arrivals)}</p>
        {Table(dumps)}
        {Arriving(arrivals)}
        <p class="caution">Keep the cards until two verified copies exist.</p>
        """);

    private static string Summary(DumpRecord[] dumps, IReadOnlyCollection<Arrival> arrivals)
    {
        int look = dumps.Count(dump => dump.State is DumpState.NeedsAPerson or DumpState.Failed);
        int busy = dumps.Count(dump => dump.IsActive);
        return FormattableString.Invariant(
            $"{look} {(look == 1 ? "wants" : "want")} a person, {busy} in line or running, {arrivals.Count} still arriving, {dumps.Length - look - busy} done or cancelled.");
    }

    private static HtmlText Table(DumpRecord[] dumps)
    {
        if (dumps.Length == 0)
        {
            return $"<p>No dump has come yet. A dump is a folder inside a watched folder.</p>";
        }

        var table = new HtmlTable("Dumps, what wants a person first", "dump", "state", "why", "since");
        foreach (DumpRecord dump in dumps.OrderBy(Rank).ThenByDescending(dump => dump.ChangedAt))
        {
            table.Row(
                $"<a id=\"dump-{dump.Id}\" href=\"/dump/{dump.Id}\"><bdi>{dump.Name}</bdi></a>",
                StateOf(dump),
                $"{dump.Reason}",
                $"<span class=\"figure\">{dump.ChangedAtText}</span>");
        }

        return table.ToHtml();
    }

    internal static HtmlText StateOf(DumpRecord dump) =>
        $"<span class=\"{DumpWords.StyleOf(dump.State)}\" data-name=\"{dump.Name}\" data-state=\"{dump.State.InWords()}\">{(dump is { CancelWanted: true, IsActive: true } ? "being cancelled" : dump.State.InWords())}</span> <span class=\"figure\" id=\"progress-{dump.Id}\">{DumpWords.Progress(dump)}</span>";

    private static HtmlText Arriving(IReadOnlyCollection<Arrival> arrivals) => arrivals.Count == 0 ? HtmlText.Nothing : $"""
        <section>
        <h2>Still arriving</h2>
        <ul>{arrivals.Select(arrival => (HtmlText)$"<li><bdi>{Path.GetFileName(arrival.Folder)}</bdi>: {arrival.Reason}</li>")}</ul>
        </section>
        """;

    private static int Rank(DumpRecord dump) => dump.State switch
    {
        DumpState.Failed or DumpState.NeedsAPerson => 0,
        DumpState.Running => 1,
        DumpState.Retrying or DumpState.Waiting => 2,
        _ => 3,
    };
}
