using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>
/// Lays a camera clip's frames on the timeline's. The two clocks drift, so where a frame would come to lie more than
/// half a frame off, the clip is cut and goes on one frame later or earlier.
/// </summary>
internal static class PicturePieces
{
    private const double MostFramesOff = 0.5;

    /// <returns>The pieces in order, and how far off the worst frame lies.</returns>
    internal static (ImmutableArray<TimelineItem> Items, GridResidual Residual) Lay(Placement placement, FrameGrid grid)
    {
        Clip clip = placement.Clip;
        VideoStream picture = clip.Media.Video[0];
        MediaTime pictureStart = FrameGrid.PictureStart(clip);
        long frames = picture.Duration > MediaTime.Zero
            ? picture.Duration.ToUnitFloor(picture.FrameRate)
            : (clip.Duration - pictureStart).ToUnitFloor(picture.FrameRate);
        double sourcePerRecord = picture.FrameRate.PerSecond / grid.FrameRate.PerSecond;

        // Source frame wanted at a timeline frame, as a line over timeline frames.
        double Wanted(long record) =>
            (placement.Map.ToClip(grid.ToCommon(MediaTime.FromUnits(record, grid.FrameRate))) - pictureStart).ToSeconds()
            * picture.FrameRate.PerSecond;
        long first = grid.ToTimeline(placement.Map.ToCommon(pictureStart)).ToNearestUnit(grid.FrameRate);
        double growth = (Wanted(first + 90_000) - Wanted(first)) / 90_000;

        var items = ImmutableArray.CreateBuilder<TimelineItem>();
        double worst = 0;
        for (long record = first; ;)
        {
            double wanted = Wanted(record);
            long source = Math.Max(0, (long)Math.Round(wanted));
            long left = (long)((frames - source) / sourcePerRecord);
            if (left < 1)
            {
                break;
            }

            double off = wanted - source;
            long length = Math.Clamp(FramesUntilOff(off, growth - sourcePerRecord), 1, left);
            double offAtEnd = off + ((length - 1) * (growth - sourcePerRecord));
            worst = Math.Max(worst, Math.Max(Math.Abs(off), Math.Abs(offAtEnd)));
            items.Add(new TimelineItem(
                clip,
                new TimeRange(MediaTime.FromUnits(record, grid.FrameRate), MediaTime.FromUnits(length, grid.FrameRate)),
                pictureStart + MediaTime.FromUnits(source, picture.FrameRate),
                null,
                string.Empty));
            record += length;
        }

        return (items.ToImmutable(), new GridResidual(clip, MediaTime.FromSeconds(worst / picture.FrameRate.PerSecond)));
    }

    /// <summary>Frames until what is wanted lies more than half a frame from what is shown.</summary>
    private static long FramesUntilOff(double off, double growth)
    {
        double room = growth > 0 ? MostFramesOff - off : MostFramesOff + off;
        return growth == 0 ? long.MaxValue : (long)Math.Min(1e15, Math.Floor(room / Math.Abs(growth)) + 1);
    }
}
