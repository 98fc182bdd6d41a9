using SyncBench.Alignment;
using SyncBench.Selection;

namespace SyncBench.Reporting;

/// <summary>Every file, what it is, and what became of it.</summary>
internal static class FileTable
{
    internal static HtmlText Of(DumpResult result, ReportMedia media)
    {
        var table = new HtmlTable(
            "Every file of the dump, in order of path", "File", "Device and role", "Take", "Outcome", "Starts at", "Length", "Certainty", "Reason");
        foreach (FileOutcome file in result.Files)
        {
            Placement? placed = file.Outcome == Outcome.Placed ? file.Placement : null;
            table.Row(
                $"<bdi class=\"file\">{file.File.Path}</bdi>{(file.Outcome == Outcome.SetAside ? HtmlText.Nothing : media.Thumbnail(file.File))}",
                file.Clip is { } clip ? $"<bdi>{clip.Device.Name}</bdi>, {Words.Role(clip)}<br/><small>by <bdi>{clip.RoleReason}</bdi></small>" : None,
                TakesOf.Names(result, file).ToArray() is { Length: > 0 } takes ? Lines(takes) : None,
                OutcomeMark(file.Outcome.InWords()),
                placed is null ? None : (HtmlText)$"<span class=\"figure\">{Figures.ClockWithMilliseconds(placed.CommonRange.Start)}</span>",
                file.Clip is null ? None : (HtmlText)$"<span class=\"figure\">{Figures.Length(file.Clip.Duration)}</span>",
                file.Placement is null ? None : (HtmlText)$"<span class=\"figure\">{Figures.Percent(file.Placement.Certainty)}</span>",
                $"{file.Reason}");
        }

        return table.ToHtml();
    }

    private static HtmlText None => $"–";

    private static HtmlText Lines(string[] names) => $"{names.Select((name, i) => (HtmlText)$"{(i == 0 ? HtmlText.Nothing : (HtmlText)$"<br/>")}<span class=\"figure\">{name}</span>")}";

    /// <summary>A shape of its own for each outcome, beside the word.</summary>
    internal static HtmlText OutcomeMark(string word)
    {
        string shape = word switch
        {
            "placed" => "●",
            "set aside" => "○",
            "check by ear" => "◆",
            _ => "✕",
        };
        return $"<span class=\"outcome {word.Replace(' ', '-')}\"><span aria-hidden=\"true\">{shape}</span> {word}</span>";
    }
}
