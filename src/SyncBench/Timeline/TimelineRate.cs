using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>
/// The timeline runs at the frame rate of most of the interview's picture, so that most of it needs no conversion: of what
/// rolled in takes, and of frames that keep one distance, where there are such.
/// </summary>
internal static class TimelineRate
{
    /// <returns>A rate that has timecode; 25 where there is no picture.</returns>
    internal static Rate Of(IReadOnlyCollection<Placement> placed, IReadOnlyCollection<Take> takes)
    {
        Placement[] pictures = [.. placed.Where(placement => !placement.Clip.Media.Video.IsEmpty)];
        Placement[] steady = [.. pictures.Where(placement => !Picture(placement).IsVariableRate)];
        Placement[] counted = steady.Length > 0 ? steady : pictures;
        return Most(counted, placement => takes.Sum(take => take.CommonRange.Intersect(placement.CommonRange).Duration.ToSeconds()))
            ?? Most(counted, placement => placement.Clip.Duration.ToSeconds())
            ?? Rate.Fps25;
    }

    private static Rate? Most(Placement[] pictures, Func<Placement, double> seconds)
    {
        var weights = pictures
            .GroupBy(placement => TimecodeFormat.Nearest(Picture(placement).FrameRate), seconds)
            .Select(group => (Rate: group.Key, Seconds: group.Sum()))
            .DefaultIfEmpty();
        (Rate Rate, double Seconds) most = weights.MaxBy(weight => weight.Seconds);
        return most.Seconds > 0 ? most.Rate : null;
    }

    private static VideoStream Picture(Placement placement) => placement.Clip.Media.Video[0];
}
