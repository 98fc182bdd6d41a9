using System.Collections.Immutable;
using System.Globalization;
using SyncBench.Alignment;
using SyncBench.Selection;
using SyncBench.Timeline;

namespace SyncBench.Reporting;

/// <summary>report/index.html: one page for the producer that needs nothing beside itself.</summary>
public static class HtmlReport
{
    /// <summary>How many places of one action the printed summary names, so that it stays one page.</summary>
    private const int OnPaper = 3;

    /// <summary>UTF-8 is declared: the writer must encode so. The writer stays open.</summary>
    /// <param name="timeline">Whose timecode stands beside the times; null where there is no one timeline.</param>
    public static void Write(TextWriter writer, DumpResult result, TimelineModel? timeline, ReportMedia media) =>
        Page(result, timeline is null ? null : new TimecodeClock(timeline), media).WriteTo(writer);

    private static HtmlText Page(DumpResult result, TimecodeClock? timecode, ReportMedia media) => $"""
        <!DOCTYPE html>
        <html lang="en">
        <head>
        <meta charset="utf-8"/>
        <meta name="viewport" content="width=device-width, initial-scale=1"/>
        <meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; media-src 'self' file: data:"/>
        <meta name="color-scheme" content="light dark"/>
        <title>{result.Name}: sync report</title>
        <style>
        {ReportStyle.Sheet}
        </style>
        </head>
        <body>
        {Hatching.Definitions}
        <header>
        <h1><bdi>{result.Name}</bdi></h1>
        <p class="lead">{Lead(result)}</p>
        </header>
        <main>
        {Summary(result, ActionList.Of(result), timecode)}
        {Contents(result)}
        <section id="files">
        <h2>Files</h2>
        {(result.Files.IsEmpty ? (HtmlText)$"<p>The dump holds no files.</p>" : FileTable.Of(result, media))}
        </section>
        <section id="clocks">
        <h2>Devices and clocks</h2>
        {(result.Clocks.IsEmpty ? (HtmlText)$"<p>No device was placed, so no clock could be measured.</p>" : ClockTable.Of(result))}
        </section>
        {result.Takes.Select((_, i) => TakeSection.Of(result, i, timecode, media))}
        {SetAside(result, media)}
        </main>
        </body>
        </html>

        """;

    private static string Lead(DumpResult result)
    {
        string outcomes = string.Join(", ", result.Files
            .CountBy(file => file.Outcome).OrderBy(outcome => outcome.Key)
            .Select(outcome => string.Create(CultureInfo.InvariantCulture, $"{outcome.Value} {outcome.Key.InWords()}")));
        string made = result.MadeAt.ToString("d MMMM yyyy, HH:mm zzz", CultureInfo.InvariantCulture);
        return $"Analysed {made}. {Words.Count(result.Files.Length, "file")}, {Figures.Bytes(result.Files.Sum(file => file.File.Bytes))}"
            + (outcomes.Length > 0 ? $": {outcomes}. " : ". ") + $"{Words.Count(result.Takes.Length, "take")}.";
    }

    /// <summary>What fits on the first sheet of paper: the three answers, what to do, and who rolled when.</summary>
    private static HtmlText Summary(DumpResult result, ImmutableArray<ReportAction> actions, TimecodeClock? timecode) => $"""
        <section id="glance">
        <h2 class="unseen">At a glance</h2>
        {Glance.Of(result, actions)}
        </section>
        {Actions(result, actions)}
        {(result.Takes.IsEmpty ? HtmlText.Nothing : (HtmlText)$"<section id=\"map\">\n<h2>Who rolled when</h2>\n{DumpMap.Of(result, timecode)}</section>\n")}
        """;

    private static HtmlText Actions(DumpResult result, ImmutableArray<ReportAction> actions)
    {
        HtmlText list = actions.IsEmpty
            ? $"<p>{(result.Files.IsEmpty ? "There is nothing to judge: the dump holds no files." : "Nothing needs you: every file was read, and every file is either placed with certainty or has no sound to match.")}</p>"
            : (HtmlText)$"<ol>\n{actions.Select(Action)}</ol>";
        return $"""
            <section id="act" class="{(actions.IsEmpty ? "calm" : "urgent")}">
            <h2>What to act on first</h2>
            {list}
            <p class="caution"><strong>Keep the cards</strong> until two copies exist, on different drives, and both have been verified against the cards. This report does not replace that.</p>
            </section>
            """;
    }

    private static HtmlText Action(ReportAction action) => $"""
        <li><h3>{action.What}</h3>
        <ul>{action.Where.Select(where => (HtmlText)$"<li><bdi>{where}</bdi></li>")}</ul>
        {(action.Where.Length <= OnPaper ? HtmlText.Nothing : (HtmlText)$"<p class=\"on-paper\">and {action.Where.Length - OnPaper} more: the page on screen names them all.</p>")}
        <p>{action.Do}</p></li>

        """;

    private static HtmlText Contents(DumpResult result) => result.Takes.IsEmpty ? HtmlText.Nothing : $"""
        <nav aria-label="Contents"><ul>
        <li><a href="#map">Who rolled when</a></li>
        <li><a href="#files">Files</a></li>
        <li><a href="#clocks">Devices and clocks</a></li>
        {result.Takes.Select((sound, i) => (HtmlText)$"<li><a href=\"#{TakeSection.Id(i)}\">{TakeSection.Title(sound.Take.Name)}</a></li>\n")}</ul></nav>
        """;

    private static HtmlText SetAside(DumpResult result, ReportMedia media)
    {
        FileOutcome[] aside = [.. result.Files.Where(file => file.Outcome == Outcome.SetAside)];
        if (aside.Length == 0)
        {
            return HtmlText.Nothing;
        }

        var table = new HtmlTable("Files with no sound to match them by", "File", "Device", "Length", "Why it was set aside");
        foreach (FileOutcome file in aside)
        {
            table.Row(
                $"<bdi class=\"file\">{file.File.Path}</bdi>{media.Thumbnail(file.File)}",
                $"<bdi>{file.Clip?.Device.Name ?? "–"}</bdi>",
                $"{(file.Clip is { } clip ? Figures.Length(clip.Duration) : "–")}",
                $"{file.Reason}");
        }

        return $"""
            <section id="set-aside">
            <h2>Set aside</h2>
            <p>There is nothing to match these by (B-roll, time lapse, stills, room tone), so they are on no take.</p>
            {table.ToHtml()}
            </section>
            """;
    }
}
