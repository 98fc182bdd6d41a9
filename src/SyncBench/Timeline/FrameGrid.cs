using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>The timeline's frames on the common clock.</summary>
/// <param name="Origin">Common time of the timeline's first frame.</param>
internal sealed record FrameGrid(Rate FrameRate, MediaTime Origin)
{
    /// <summary>The grid on which a frame begins exactly at <paramref name="frame"/>, and its first one not after
    /// <paramref name="earliest"/>.</summary>
    internal static FrameGrid Through(MediaTime frame, Rate frameRate, MediaTime earliest) =>
        new(frameRate, frame - MediaTime.FromUnits((frame - earliest).ToUnitCeiling(frameRate), frameRate));

    internal MediaTime ToTimeline(MediaTime common) => common - Origin;

    internal MediaTime ToCommon(MediaTime timeline) => timeline + Origin;

    /// <summary>The frame boundary nearest a common time, on the timeline.</summary>
    internal MediaTime Snap(MediaTime common) =>
        MediaTime.FromUnits(ToTimeline(common).ToNearestUnit(FrameRate), FrameRate);

    internal TimeRange Snap(TimeRange common) => TimeRange.Between(Snap(common.Start), Snap(common.End));
}
