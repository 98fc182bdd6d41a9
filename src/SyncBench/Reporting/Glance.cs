using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Selection;

namespace SyncBench.Reporting;

/// <summary>The three questions of a producer on location, each answered in a word and a shape before anything else is told.</summary>
internal static class Glance
{
    internal static HtmlText Of(DumpResult result, ImmutableArray<ReportAction> actions) => $"""
        <div class="glance">
        {Card("Is everything here?", Here(result, actions), actions, Asked.IsItHere)}
        {Card("Is everything in sync?", InSync(result, actions), actions, Asked.IsItInSync)}
        {Card("Must anything be recorded again?", Again(result, actions), actions, Asked.MustItBeRecordedAgain)}
        </div>
        """;

    private static (Verdict Verdict, string Word, string Why) Here(DumpResult result, ImmutableArray<ReportAction> actions)
    {
        string[] devices = [.. result.Files.Where(file => file.Clip is not null).Select(file => file.Clip!.Device.Name)
            .Distinct().Order(StringComparer.Ordinal)];
        string came = devices.Length == 0 ? string.Empty
            : $" Sources: {string.Join(", ", devices)}. Count them: a card that was never copied leaves no trace here.";
        int lost = result.Files.Count(file => file.Outcome == Outcome.Unreadable || file.Damage is not null);
        return result.Files.IsEmpty ? (Verdict.No, "No", "The dump holds no files.")
            : Decided(actions, Asked.IsItHere)
                ? (Verdict.No, "No", (lost == 0 ? "Every file could be read, but see below." : $"{Words.Count(lost, "file")} of {result.Files.Length} cannot be read whole.") + came)
            : (Verdict.Yes, "Yes", $"{(result.Files.Length == 1 ? "The one file" : $"All {Words.Count(result.Files.Length, "file")}")} could be read whole.{came}");
    }

    private static (Verdict Verdict, string Word, string Why) InSync(DumpResult result, ImmutableArray<ReportAction> actions)
    {
        FileOutcome[] placed = [.. result.Files.Where(file => file.Outcome == Outcome.Placed)];
        // Where timecode or a person names the place, there is no probability.
        double[] certain = [.. placed.Select(file => file.Placement!.Certainty).Where(double.IsFinite)];
        int byEar = result.Files.Count(file => file.Outcome == Outcome.CheckByEar), aside = result.Files.Count(DumpMap.IsBRoll);
        string counts = $"{placed.Length} of {Words.Count(placed.Length + byEar, "clip")} with sound to match "
            + $"{(placed.Length == 1 ? "stands" : "stand")} on one clock"
            + (certain.Length == 0 ? "." : $", {(certain.Length == 1 ? "with a" : "each with a")} certainty of {(certain.Min() < 0.9999 ? "at least " : string.Empty)}{Figures.Percent(certain.Min())}.")
            + (aside == 0 ? string.Empty : $" {Words.Count(aside, "clip")} of picture {(aside == 1 ? "has" : "have")} no sound to match (B-roll).");
        return result.Takes.IsEmpty ? (Verdict.No, "No", "No two devices share sound, so there is no take.")
            : Decided(actions, Asked.IsItInSync) ? (Verdict.No, "Not all", counts)
            : (Verdict.Yes, "Yes", counts);
    }

    private static (Verdict Verdict, string Word, string Why) Again(DumpResult result, ImmutableArray<ReportAction> actions) =>
        result.Takes.IsEmpty ? (Verdict.Unknown, "Cannot be told", "There is no take to listen to.")
        : Decided(actions, Asked.MustItBeRecordedAgain)
            ? (Verdict.No, "Listen now", "For some stretches no clean sound exists on any mic. If the words matter, record them while crew and subject are there.")
        : (Verdict.Yes, "Nothing found", "Wherever a mic rolls, at least one is without a fault. Picture is not judged.");

    private static bool Decided(ImmutableArray<ReportAction> actions, Asked asked) =>
        actions.Any(action => action.Asks == asked && action.Decides);

    private static HtmlText Card(
        string question, (Verdict Verdict, string Word, string Why) answer, ImmutableArray<ReportAction> actions, Asked asked)
    {
        ReportAction[] own = [.. actions.Where(action => action.Asks == asked)];
        return $"""
            <section class="{Style(answer.Verdict)}">
            <h3>{question}</h3>
            <p class="verdict">{Shape(answer.Verdict)} {answer.Word}</p>
            <p>{answer.Why}</p>
            {(own.Length == 0 ? HtmlText.Nothing : (HtmlText)$"<ul>{own.Select(action => (HtmlText)$"<li>{action.What}: {action.Where.Length}</li>")}</ul>")}
            </section>

            """;
    }

    private static string Style(Verdict verdict) => verdict switch
    {
        Verdict.Yes => "yes",
        Verdict.No => "no",
        _ => "unknown",
    };

    /// <summary>A disc, a triangle that warns, a ring: told apart without colour, and hidden from who hears the word.</summary>
    private static HtmlText Shape(Verdict verdict)
    {
        string path = verdict switch
        {
            Verdict.Yes => "M10 2a8 8 0 1 1 0 16a8 8 0 1 1 0-16z",
            Verdict.No => "M10 1.5L19 18H1z",
            _ => "M10 2a8 8 0 1 1 0 16a8 8 0 1 1 0-16zM10 5.5a4.5 4.5 0 1 0 0 9a4.5 4.5 0 1 0 0-9z",
        };
        return $"<svg class=\"shape\" aria-hidden=\"true\" viewBox=\"0 0 20 20\"><title>{Style(verdict)}</title><path fill-rule=\"evenodd\" d=\"{path}\"/></svg>";
    }

    private enum Verdict
    {
        Yes,
        No,
        Unknown,
    }
}
