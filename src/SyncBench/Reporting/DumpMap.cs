using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>
/// Who rolled when in the whole dump: a lane a device on the common clock. Clips without sound have no place on it; where
/// their own clock and that of a placed clip of the same device name one, they stand there, else below, in order.
/// </summary>
internal static class DumpMap
{
    private const double Top = 52, Band = 38, Lane = 34, Bar = 22, Gap = 6, NarrowestAside = 44;

    internal static HtmlText Of(DumpResult result, TimecodeClock? timecode)
    {
        Placement[] placed = [.. result.Files.Where(file => file.Outcome == Outcome.Placed).Select(file => file.Placement!)];
        if (placed.Length == 0)
        {
            return HtmlText.Nothing;
        }

        TimeRange range = TimeRange.Between(placed.Min(clip => clip.CommonRange.Start), placed.Max(clip => clip.CommonRange.End));
        if (range.IsEmpty)
        {
            return HtmlText.Nothing;
        }

        (Clip Clip, OwnPlace? Place)[] bRoll = [.. result.Files.Where(IsBRoll).Select(file => (file.Clip!, OwnPlace.Of(file.Clip!, placed)))];
        var within = bRoll.Where(clip => clip.Place is { } place && range.Contains(place.CommonStart)).ToArray();
        var beside = bRoll.Except(within).ToArray();
        Device[] devices = [.. placed.Select(clip => clip.Clip.Device).Concat(within.Select(clip => clip.Clip.Device)).Distinct()
            .OrderBy(device => device.Kind).ThenBy(device => device.Name, StringComparer.Ordinal)];
        var axis = new TimeAxis(range, Plot.Left, Plot.Right);
        double bottom = Top + (devices.Length * Lane), aside = bottom + 34, end = aside + (beside.Length == 0 ? -8 : Lane);
        HtmlText drawing = $"""
            {result.Takes.Select(sound => DrawTake(sound.Take, axis, bottom))}
            {(timecode is null ? HtmlText.Nothing : axis.Above(Top, timecode.Zero, timecode.Format))}
            {axis.Below(Top, bottom)}
            {devices.Select((device, i) => DrawLane(device, placed, within, axis, Top + (i * Lane)))}
            {(beside.Length == 0 ? HtmlText.Nothing : DrawBeside([.. beside], axis, aside))}
            """;
        return Plot.Figure(
            "dump-map", "Who rolled when, over the whole dump", Description(devices, placed, bRoll), end, drawing, Caption(timecode, bRoll.Length > 0, beside.Length > 0));
    }

    internal static bool IsBRoll(FileOutcome file) =>
        file is { Outcome: Outcome.SetAside, Clip.Media: { IsStill: false, Video.IsEmpty: false } };

    private static HtmlText Caption(TimecodeClock? timecode, bool bRoll, bool beside) => $"""
        Who rolled when: below, the common clock (h:mm:ss){(timecode is null ? string.Empty : "; above, the timecode of timeline.otio")}. Filled bars are cameras, outlined bars recorders, tinted stretches takes; where a lane is empty, the device did not roll.{(bRoll ? " Dashed bars are clips without sound to match (B-roll)" + (beside ? ", below in the order of their names: their place on the common clock is not known." : ", where their device's own clock puts them.") : string.Empty)}
        """;

    private static string Description(Device[] devices, Placement[] placed, (Clip Clip, OwnPlace? Place)[] bRoll) => string.Join(' ',
    [
        .. devices.Select(device => $"{device.Name}: {string.Join(", ", placed.Where(clip => clip.Clip.Device == device).Select(RollMap.Times))}."),
        .. bRoll.Select(clip => $"{clip.Clip.File.Path}: no sound to match, {(clip.Place is { } place ? place.InWords() : "place not known")}."),
    ]);

    private static HtmlText DrawTake(Take take, TimeAxis axis, double bottom)
    {
        double from = axis.Within(take.CommonRange.Start), to = axis.Within(take.CommonRange.End);
        return $"""
            <rect class="take" x="{from:0.#}" y="{Top - Band:0.#}" width="{to - from:0.#}" height="{bottom - Top + Band:0.#}"/>
            <text class="tick" x="{(from + to) / 2:0.#}" y="{Top - 24:0.#}">{Plot.Fitting(take.Name, to - from)}</text>

            """;
    }

    private static HtmlText DrawLane(
        Device device, Placement[] placed, (Clip Clip, OwnPlace? Place)[] within, TimeAxis axis, double top) => $"""
        {Plot.LaneName(device.Name, top + 21)}
        {placed.Where(clip => clip.Clip.Device == device).Select(clip => RollMap.DrawBar(clip, axis, top + ((Lane - Bar) / 2), Bar))}
        {within.Where(clip => clip.Clip.Device == device).Select(clip => DrawOwn(clip.Clip, clip.Place!, axis, top + ((Lane - Bar) / 2)))}
        """;

    private static HtmlText DrawOwn(Clip clip, OwnPlace place, TimeAxis axis, double top)
    {
        double from = axis.Within(place.CommonStart), to = axis.Within(place.CommonStart + clip.Duration);
        return DrawAside(clip, place.InWords(), from, Math.Max(2, to - from), top);
    }

    private static HtmlText DrawBeside(ImmutableArray<(Clip Clip, OwnPlace? Place)> clips, TimeAxis axis, double top)
    {
        double each = (axis.Right - axis.Left) / clips.Length, x = axis.Left;
        var bars = new List<HtmlText>();
        foreach ((Clip clip, OwnPlace? place) in clips)
        {
            double toScale = axis.At(axis.Range.Start + clip.Duration) - axis.Left;
            double width = Math.Max(1, Math.Min(each - Gap, Math.Max(NarrowestAside, Math.Max(toScale, (clip.File.Name.Length * 8) + 14))));
            bars.Add(DrawAside(clip, place?.InWords() ?? "place not known", x, width, top));
            x += width + Gap;
        }

        return $"{Plot.LaneName("no place known", top + 15)}{bars}";
    }

    private static HtmlText DrawAside(Clip clip, string where, double from, double width, double top) => $"""
        <g><title>{clip.File.Path}: {Figures.Length(clip.Duration)}, {where}</title>
        <rect class="bar aside" x="{from:0.#}" y="{top:0.#}" width="{width:0.#}" height="{Bar:0.#}" rx="3"/>
        <text class="bar-text" x="{from + (width / 2):0.#}" y="{top + (Bar / 2) + 5:0.#}">{Plot.FittingName(clip.File.Name, width)}</text></g>

        """;
}
