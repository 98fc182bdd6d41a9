using System.Globalization;
using SyncBench.Alignment;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>One take: who rolled when, which mic is heard and why, how the clocks ran.</summary>
internal static class TakeSection
{
    internal static HtmlText Of(DumpResult result, int index, TimecodeClock? timecode, ReportMedia media)
    {
        TakeSound sound = result.Takes[index];
        Take take = sound.Take;
        string id = Id(index);
        return $"""
            <section id="{id}" class="take-section">
            <h2>{Title(take.Name)}</h2>
            <p>{Span(take.CommonRange, MediaTime.Zero)} on the common clock{(timecode is null ? string.Empty : $" ({timecode.Span(take.CommonRange)} in timeline.otio)")}, {Figures.Length(take.CommonRange.Duration)}, {Words.Count(take.Placements.Length, "clip")}.</p>
            <h3>Who rolled when</h3>
            {RollMap.Of(sound, timecode, id + "-map")}
            <h3>Answers and questions</h3>
            {AnswerTable.Of(sound, timecode)}
            <h3>The chosen mic</h3>
            {(take.CommonRange.IsEmpty ? HtmlText.Nothing : MicPlot.Of(sound, id + "-mic"))}
            {Segments(sound, timecode)}
            {Changes(take, media)}
            {Faults(sound)}
            {Rooms(sound)}
            {LoudnessTable.Of(sound)}
            {Proofs(take, media, id)}
            <h3>Clocks and lip-sync</h3>
            {Drift(result, take, id)}
            {LipSync.Of(take)}
            </section>

            """;
    }

    internal static string Id(int index) => string.Create(CultureInfo.InvariantCulture, $"take-{index + 1}");

    internal static string Title(string name) => name.Length > 0 ? char.ToUpperInvariant(name[0]) + name[1..] : name;

    private static HtmlText Segments(TakeSound sound, TimecodeClock? timecode)
    {
        if (sound.Segments.IsEmpty)
        {
            return $"<p>No mic rolls in this take.</p>\n";
        }

        var table = new HtmlTable("Segments: which mic is heard, and why", "In the take", "Common clock", "Length", "Mic", "Reason");
        foreach (Segment segment in sound.Segments)
        {
            table.Row(
                $"<span class=\"figure\">{Span(segment.CommonRange, sound.Take.CommonRange.Start)}</span>",
                $"<span class=\"figure\">{Span(segment.CommonRange, MediaTime.Zero)}</span>{timecode.Beside(segment.CommonRange)}",
                $"<span class=\"figure\">{Figures.Length(segment.CommonRange.Duration)}</span>",
                $"{Words.Mic(segment.Source)}",
                $"{segment.Reason}");
        }

        return table.ToHtml();
    }

    private static HtmlText Changes(Take take, ReportMedia media)
    {
        string[] files = [.. media.Changes.Where(change => change.Take == take).Select(change => change.Path)];
        return files.Length == 0 ? HtmlText.Nothing : $"""
            <p class="caution">Three seconds before and after each change of mic, as in the dialogue file. Begin at a moderate level.</p>
            {files.Select(file => (HtmlText)$"<p class=\"player\"><audio controls=\"controls\" preload=\"none\" aria-label=\"{file}\" src=\"../{Uri.EscapeDataString(file).Replace("%2F", "/", StringComparison.Ordinal)}\"></audio> <span>{file}</span></p>\n")}

            """;
    }

    private static HtmlText Proofs(Take take, ReportMedia media, string id)
    {
        SyncProof[] proofs = [.. media.Proofs.Where(proof => proof.Take == take)];
        return proofs.Length == 0 ? HtmlText.Nothing : $"""
            <h3>Sync by eye and ear</h3>
            {proofs.Select((proof, i) => ProofPlot.Of(proof, string.Create(CultureInfo.InvariantCulture, $"{id}-proof-{i + 1}")))}
            """;
    }

    private static HtmlText Faults(TakeSound sound)
    {
        if (sound.Faults.IsEmpty)
        {
            return $"<p>No fault was found on any mic.</p>\n";
        }

        var table = new HtmlTable("Faults, mic by mic", "Mic", "Fault", "How often", "Altogether", "The longest, from the start of the take");
        foreach (var kind in sound.Faults
            .GroupBy(fault => (Mic: Words.Mic(fault.Source), fault.Kind))
            .OrderBy(kind => kind.Key.Mic, StringComparer.Ordinal).ThenBy(kind => kind.Key.Kind))
        {
            TimeRange longest = kind.MaxBy(fault => fault.CommonRange.Duration)!.CommonRange;
            table.Row(
                $"{kind.Key.Mic}",
                $"{kind.Key.Kind.InWords()}",
                $"{kind.Count()}",
                $"{Figures.Length(kind.Aggregate(MediaTime.Zero, (sum, fault) => sum + fault.CommonRange.Duration))}",
                $"{Span(longest, sound.Take.CommonRange.Start)} ({Figures.Length(longest.Duration)})");
        }

        return table.ToHtml();
    }

    private static HtmlText Rooms(TakeSound sound)
    {
        if (sound.Rooms.IsEmpty)
        {
            return HtmlText.Nothing;
        }

        var table = new HtmlTable("Room sound, mic by mic: a tendency", "Mic", "File", "How direct");
        foreach (RoomSound room in sound.Rooms)
        {
            table.Row($"{Words.Mic(room.Source)}", $"<bdi>{room.Source.Clip.File.Path}</bdi>", $"{room.InWords()}");
        }

        return table.ToHtml();
    }

    private static HtmlText Drift(DumpResult result, Take take, string id) => $"""
        {result.Clocks.Where(clock => !clock.IsReference).Select((clock, i) => DriftPlot.Of(
            take, clock, [.. take.Placements.Where(placement => placement.Clip.Device == clock.Device)],
            string.Create(CultureInfo.InvariantCulture, $"{id}-drift-{i + 1}")))}
        """;

    private static string Span(TimeRange range, MediaTime zero) =>
        $"{Figures.Clock(range.Start - zero)} to {Figures.Clock(range.End - zero)}";
}
