using SyncBench.Reporting;
using SyncBench.Service.Jobs;

namespace SyncBench.Service.Page;

/// <summary>One dump: how far it is, what to do with it, its files.</summary>
internal static class DumpPage
{
    internal static HtmlText Of(
        DumpRecord dump, LastRun last, bool hasReport, HtmlText corrections, string proof, string shape) => PageFrame.Around(dump.Name, shape, $"""
        <p class="lead">{DumpsPage.StateOf(dump)}</p>
        {Bar(dump)}
        <p>{dump.Reason}</p>
        <p>Folder: <bdi>{dump.Folder}</bdi></p>
        {Actions(dump, hasReport, proof)}
        {LookAt(last)}
        {Files(last.Files)}
        {corrections}
        """);

    private static HtmlText Bar(DumpRecord dump) => dump.State != DumpState.Running ? HtmlText.Nothing
        : $"<p><progress id=\"bar-{dump.Id}\" max=\"1\" value=\"{dump.Progress.Share:0.###}\" aria-label=\"This stage\"></progress></p>";

    private static HtmlText Actions(DumpRecord dump, bool hasReport, string proof) => $"""
        <p>{(hasReport ? (HtmlText)$"<a id=\"report\" href=\"/dump/{dump.Id}/results/report/index.html\">Open the report</a> · " : HtmlText.Nothing)}<a id="log" href="/dump/{dump.Id}/log">Log of its runs</a></p>
        {(dump.IsActive ? Button(dump, "cancel", "Cancel", proof) : Button(dump, "rerun", "Run again", proof))}
        """;

    private static HtmlText Button(DumpRecord dump, string action, string words, string proof) => $"""
        <form method="post" action="/dump/{dump.Id}/{action}"><input type="hidden" name="proof" value="{proof}"><button id="{action}">{words}</button></form>
        """;

    private static HtmlText LookAt(LastRun last) => last.LookAt.Length == 0 ? HtmlText.Nothing : $"""
        <section id="act" class="urgent">
        <h2>What to look at</h2>
        <ul>{last.LookAt.Select(words => (HtmlText)$"<li><bdi>{words}</bdi></li>")}</ul>
        <p>Keep the cards until this is cleared up. The report says what to do about each.</p>
        </section>
        """;

    private static HtmlText Files(FileResult[] files)
    {
        if (files.Length == 0)
        {
            return $"<p>No results yet.</p>";
        }

        var table = new HtmlTable("Files as the last run found them", "file", "outcome", "device and role", "why");
        foreach (FileResult file in files)
        {
            table.Row($"<bdi>{file.Path}</bdi>", FileTable.OutcomeMark(file.Outcome), $"<bdi>{(file.Role.Length == 0 ? "not known" : file.Role)}</bdi>", $"{file.Reason}");
        }

        return table.ToHtml();
    }
}
