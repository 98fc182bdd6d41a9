using SyncBench.Time;
using SyncBench.Timeline;

namespace SyncBench.Reporting;

/// <summary>Common time as the timecode that timeline.otio shows there.</summary>
internal sealed class TimecodeClock(TimelineModel timeline)
{
    /// <summary>The common time at which the timecode would read 00:00:00:00.</summary>
    internal MediaTime Zero => timeline.Start - MediaTime.FromUnits(timeline.FirstFrame, timeline.FrameRate);

    /// <summary>"01:00:12:05": the frame that is shown at that time.</summary>
    internal string Format(MediaTime onCommon) =>
        timeline.Numbering.Format(timeline.FirstFrame + (onCommon - timeline.Start).ToUnitFloor(timeline.FrameRate));

    /// <summary>"01:00:12:05 to 01:00:20:11".</summary>
    internal string Span(TimeRange onCommon) => $"{Format(onCommon.Start)} to {Format(onCommon.End)}";
}

internal static class TimecodeBeside
{
    /// <summary>The same range in timecode, for below a range in seconds; nothing where there is no timecode.</summary>
    internal static HtmlText Beside(this TimecodeClock? timecode, TimeRange onCommon) => timecode is null
        ? HtmlText.Nothing
        : $"<br/><small class=\"figure\">{timecode.Span(onCommon)}</small>";
}
