using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>The timeline's frames on the common clock.</summary>
/// <param name="FrameRate">Of the timeline.</param>
/// <param name="Origin">Common time of the timeline's first frame.</param>
internal sealed record FrameGrid(Rate FrameRate, MediaTime Origin)
{
    /// <summary>
    /// The rate of most of the interview's picture, and the phase at which the first camera's first clip sits exactly.
    /// </summary>
    internal static FrameGrid Of(IReadOnlyList<Placement> placed)
    {
        Placement[] cameras = [.. placed.Where(p => !p.Clip.Media.Video.IsEmpty).OrderBy(p => p.Map.Offset)];
        MediaTime earliest = placed.Select(p => p.CommonRange.Start).DefaultIfEmpty().Min();
        if (cameras.Length == 0)
        {
            return new FrameGrid(Rate.Fps25, earliest);
        }

        Rate rate = cameras
            .GroupBy(p => p.Clip.Media.Video[0].FrameRate)
            .OrderByDescending(group => group.Sum(p => p.Clip.Duration.ToSeconds()))
            .First().Key;
        Placement first = cameras[0];
        MediaTime firstFrame = first.Map.ToCommon(PictureStart(first.Clip));
        long framesBefore = (firstFrame - earliest).ToUnitCeiling(rate);
        return new FrameGrid(rate, firstFrame - MediaTime.FromUnits(framesBefore, rate));
    }

    /// <summary>Clip time of a clip's first frame.</summary>
    internal static MediaTime PictureStart(Clip clip) => clip.Media.Video[0].Start - clip.Media.Origin;

    internal MediaTime ToTimeline(MediaTime common) => common - Origin;

    internal MediaTime ToCommon(MediaTime timeline) => timeline + Origin;

    /// <summary>The frame boundary nearest a common time, on the timeline.</summary>
    internal MediaTime Snap(MediaTime common) =>
        MediaTime.FromUnits(ToTimeline(common).ToNearestUnit(FrameRate), FrameRate);
}
