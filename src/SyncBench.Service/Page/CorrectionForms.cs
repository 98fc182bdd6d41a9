using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Reporting;
using SyncBench.Service.Jobs;

namespace SyncBench.Service.Page;

/// <summary>What a person corrected of a dump, and the forms for more.</summary>
internal static class CorrectionForms
{
    /// <param name="problem">What is wrong with the form that was sent; null where nothing was.</param>
    internal static HtmlText Of(DumpRecord dump, FileResult[] files, ImmutableArray<string> made, bool areNew, string proof, string? problem) =>
        files.Length == 0 && made.IsEmpty ? HtmlText.Nothing : $"""
        <section id="corrections">
        <h2>Corrections</h2>
        <p>They are kept beside the results, win over the analysis, and count from the next run on.{(areNew ? " Some are newer than the results: run again to see them." : string.Empty)}</p>
        {(problem is null ? HtmlText.Nothing : (HtmlText)$"<p role=\"alert\" class=\"state failed\">Not stored: {problem}.</p>")}
        {Made(dump, made, proof)}
        {Form(dump, proof, "role", "What a file is", $"""
            {File("role", "file", "File", files)}
            {Input("role", "device", "Made by another device, its name", "text")}
            {Input("role", "angle", "Angle of its camera", "text")}
            {Mic("role", isNeeded: false)}
            {Input("role", "channel", "Channel of that mic; none for all", "number")}
            """)}
        {Form(dump, proof, "mic", "Mic for a stretch", $"""
            {Input("mic", "take", "Take", "number", isNeeded: true)}
            {Mic("mic", isNeeded: true)}
            {Input("mic", "from", "From, as in the report: 12:03", "text", isNeeded: true)}
            {Input("mic", "to", "To", "text", isNeeded: true)}
            {Input("mic", "device", "Device, where several have such a mic", "text")}
            {Input("mic", "channel", "Channel, where it has several", "number")}
            """)}
        {Form(dump, proof, "place", "Two files that belong together", $"""
            {File("place", "file", "File to be placed", files)}
            {File("place", "against", "Placed by", files)}
            {Input("place", "offset", "Begins so many seconds after it; negative if before", "text", isNeeded: true)}
            """)}
        {Form(dump, proof, "leave", "A file to be left out", File("leave", "file", "File", files))}
        </section>
        """;

    private static HtmlText Made(DumpRecord dump, ImmutableArray<string> made, string proof) => made.IsEmpty ? HtmlText.Nothing : $"""
        <ul>{made.Select((words, i) => (HtmlText)$"""
            <li><bdi>{words}</bdi>
            <form method="post" action="/dump/{dump.Id}/correct"><input type="hidden" name="proof" value="{proof}"><input type="hidden" name="kind" value="back"><input type="hidden" name="correction" value="{words}"><button id="back-{i}" aria-label="Take back: {words}">Take back</button></form></li>
            """)}</ul>
        """;

    private static HtmlText Form(DumpRecord dump, string proof, string kind, string title, HtmlText fields) => $"""
        <details><summary id="correct-{kind}">{title}</summary>
        <form class="fields" method="post" action="/dump/{dump.Id}/correct"><input type="hidden" name="proof" value="{proof}"><input type="hidden" name="kind" value="{kind}">
        {fields}
        <button>Store</button></form></details>
        """;

    private static HtmlText File(string form, string name, string label, FileResult[] files) => $"""
        <p><label for="{form}-{name}">{label}</label><select id="{form}-{name}" name="{name}" required><option></option>{files.Select(file => (HtmlText)$"<option value=\"{file.Path}\">{file.Path}</option>")}</select></p>
        """;

    private static HtmlText Mic(string form, bool isNeeded) => $"""
        <p><label for="{form}-mic">Mic</label><select id="{form}-mic" name="mic"{(isNeeded ? (HtmlText)$" required" : HtmlText.Nothing)}><option></option>{Enum.GetValues<MicRole>().Select(role => (HtmlText)$"<option>{role.InWords()}</option>")}</select></p>
        """;

    private static HtmlText Input(string form, string name, string label, string type, bool isNeeded = false) => $"""
        <p><label for="{form}-{name}">{label}</label><input id="{form}-{name}" name="{name}" type="{type}"{(isNeeded ? (HtmlText)$" required" : HtmlText.Nothing)}></p>
        """;
}
