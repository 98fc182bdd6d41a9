using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>
/// Lays a stretch of one mic on the timeline, to the sample. Lists of cuts cannot say "play this 50 ppm faster", so a
/// long stretch of a drifting clock is cut into pieces, each exact in its middle.
/// </summary>
internal static class SoundPieces
{
    /// <summary>Share of a frame by which the ends of a piece may be off.</summary>
    private const double MostFramesOff = 0.25;

    /// <param name="commonRange">What to lay, as far as the clip reaches.</param>
    internal static ImmutableArray<TimelineItem> Lay(
        Placement placement, MicChannel mic, TimeRange commonRange, FrameGrid grid, string note)
    {
        TimeRange range = commonRange.Intersect(placement.CommonRange);
        double drift = Math.Abs(placement.Map.Ppm) * 1e-6;
        double longest = drift > 0 ? 2 * MostFramesOff / grid.FrameRate.PerSecond / drift : double.PositiveInfinity;
        int pieces = (int)Math.Max(1, Math.Ceiling(range.Duration.ToSeconds() / longest));
        var rate = new Rate(SampleRateHz(placement.Clip, mic));
        var items = ImmutableArray.CreateBuilder<TimelineItem>();
        MediaTime start = Whole(grid.ToTimeline(range.Start)), end = Whole(grid.ToTimeline(range.End));
        for (int piece = 0; piece < pieces; piece++)
        {
            TimeRange record = TimeRange.Between(Part(start, end, piece, pieces), Part(start, end, piece + 1, pieces));
            MediaTime half = MediaTime.FromSeconds(record.Duration.ToSeconds() / 2);
            MediaTime source = placement.ToMicTime(mic, grid.ToCommon(record.Start + half)) - half;
            TimelineItem item = WithinClip(new TimelineItem(
                placement.Clip, record, MediaTime.FromUnits(source.ToNearestUnit(rate), rate), mic, note));
            if (!item.RecordRange.IsEmpty)
            {
                items.Add(item);
            }
        }

        return items.ToImmutable();
    }

    /// <summary>The rate of the stream that a channel is in.</summary>
    internal static int SampleRateHz(Clip clip, MicChannel mic)
    {
        int channels = 0;
        return clip.Media.Audio.First(stream => (channels += stream.Channels) > mic.Channel).SampleRateHz;
    }

    private static MediaTime Whole(MediaTime time) => MediaTime.FromUnits(time.ToNearestUnit(Rate.Hz48000), Rate.Hz48000);

    private static MediaTime Part(MediaTime start, MediaTime end, int part, int parts) =>
        Whole(start + MediaTime.FromSeconds((end - start).ToSeconds() * part / parts));

    /// <summary>A mic that hears earlier or later than its clip says would else reach a little beyond the file.</summary>
    private static TimelineItem WithinClip(TimelineItem item)
    {
        MediaTime before = item.SourceStart < MediaTime.Zero ? MediaTime.Zero - item.SourceStart : MediaTime.Zero;
        MediaTime late = MediaTime.FromUnits(before.ToUnitCeiling(Rate.Hz48000), Rate.Hz48000);
        MediaTime source = item.SourceStart + late;
        MediaTime left = MediaTime.FromUnits((item.Clip.Duration - source).ToUnitFloor(Rate.Hz48000), Rate.Hz48000);
        MediaTime start = item.RecordRange.Start + late;
        return item with
        {
            SourceStart = source,
            RecordRange = TimeRange.Between(start, MediaTime.Min(item.RecordRange.End, start + left)),
        };
    }
}
