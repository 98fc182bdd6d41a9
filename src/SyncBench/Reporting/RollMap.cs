using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>Who rolled when: a lane a device, a bar a clip, on the common clock.</summary>
internal static class RollMap
{
    private const double Lane = 40, Bar = 26;

    internal static HtmlText Of(TakeSound sound, TimecodeClock? timecode, string id)
    {
        Take take = sound.Take;
        TimeRange all = TimeRange.Between(
            take.CommonRange.Start - Margin(take.CommonRange), take.CommonRange.End + Margin(take.CommonRange));
        var axis = new TimeAxis(all, Plot.Left, Plot.Right);
        IGrouping<Device, Placement>[] lanes = [.. take.Placements.GroupBy(placement => placement.Clip.Device)
            .OrderBy(lane => lane.Key.Kind).ThenBy(lane => lane.Key.Name, StringComparer.Ordinal)];
        double top = timecode is null ? 10 : 34;
        double talk = top + (lanes.Length * Lane), bottom = talk + (sound.Talk.Turns.IsEmpty ? 0 : TalkLanes.Height);
        HtmlText drawing = $"""
            <rect class="take" x="{axis.At(take.CommonRange.Start):0.#}" y="{top:0.#}" width="{axis.At(take.CommonRange.End) - axis.At(take.CommonRange.Start):0.#}" height="{bottom - top:0.#}"/>
            {(timecode is null ? HtmlText.Nothing : axis.Above(top, timecode.Zero, timecode.Format))}
            {axis.Below(top, bottom)}
            {lanes.Select((lane, i) => DrawLane(lane, axis, top + (i * Lane)))}
            {(sound.Talk.Turns.IsEmpty ? HtmlText.Nothing : TalkLanes.Of(sound.Talk, axis, talk))}
            """;
        string description = string.Join(" ", lanes.Select(lane => $"{lane.Key.Name}: "
            + string.Join(", ", lane.Select(Times)) + "."));
        return Plot.Figure(
            id, $"Who rolled when in {take.Name}", description, bottom + 26, drawing,
            $"Who rolled when, on the common clock (h:mm:ss){(timecode is null ? string.Empty : "; above, the timecode of timeline.otio")}. Filled bars are cameras, outlined bars recorders; the tinted stretch is the take. An arrow says that the clip goes on beyond the plot.{(sound.Talk.Turns.IsEmpty ? string.Empty : " Answers are tinted and questions outlined, each in a lane of its own; their numbers are those of the table below.")}");
    }

    private static MediaTime Margin(TimeRange take) => MediaTime.FromSeconds(Math.Max(1, take.Duration.ToSeconds() * 0.04));

    internal static string Times(Placement placement) =>
        $"{placement.Clip.File.Name} from {Figures.Clock(placement.CommonRange.Start)} to {Figures.Clock(placement.CommonRange.End)}";

    private static HtmlText DrawLane(IGrouping<Device, Placement> lane, TimeAxis axis, double top) => $"""
        {Plot.LaneName(lane.Key.Name, top + (Lane / 2) - 1)}<text class="lane small" x="{Plot.Left - 10:0.#}" y="{top + (Lane / 2) + 13:0.#}">{Plot.Fitting(Role(lane), Plot.Left)}</text>
        {lane.Select(placement => DrawBar(placement, axis, top + ((Lane - Bar) / 2), Bar))}
        """;

    private static string Role(IGrouping<Device, Placement> lane) => Words.Role(lane.First().Clip);

    internal static HtmlText DrawBar(Placement placement, TimeAxis axis, double top, double height)
    {
        double from = axis.Within(placement.CommonRange.Start), to = axis.Within(placement.CommonRange.End);
        string kind = placement.Clip.Device.Kind.InWords();
        bool before = placement.CommonRange.Start < axis.Range.Start, after = placement.CommonRange.End > axis.Range.End;
        (string left, string right) = (before ? "◂ " : string.Empty, after ? " ▸" : string.Empty);
        string name = Plot.FittingName(placement.Clip.File.Name, to - from - (8 * (left.Length + right.Length)));
        return $"""
            <g><title>{Times(placement)}</title>
            <rect class="bar {kind}" x="{from:0.#}" y="{top:0.#}" width="{Math.Max(2, to - from):0.#}" height="{height:0.#}" rx="3"/>
            <text class="bar-text {kind}" x="{(from + to) / 2:0.#}" y="{top + (height / 2) + 5:0.#}">{(name.Length == 0 ? string.Empty : left + name + right)}</text></g>

            """;
    }
}
