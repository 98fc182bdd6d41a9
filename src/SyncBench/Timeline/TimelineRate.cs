using SyncBench.Alignment;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>The timeline runs at the frame rate of most of the placed picture, so that most of it needs no conversion.</summary>
internal static class TimelineRate
{
    /// <returns>A rate that has timecode; 25 where there is no picture.</returns>
    internal static Rate Of(IEnumerable<Placement> placed)
    {
        IGrouping<Rate, Placement>? most = placed
            .Where(placement => !placement.Clip.Media.Video.IsEmpty)
            .GroupBy(placement => TimecodeFormat.Nearest(placement.Clip.Media.Video[0].FrameRate))
            .MaxBy(group => group.Sum(placement => placement.Clip.Duration.ToSeconds()));
        return most?.Key ?? Rate.Fps25;
    }
}
