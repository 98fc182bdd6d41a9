using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>
/// Lays a stretch of one mic on the timeline. A list of cuts cannot say "play this 50 ppm faster", so a long stretch of a
/// drifting clock is cut into pieces, each exact in its middle.
/// </summary>
internal static class SoundPieces
{
    /// <summary>Share of a frame by which the ends of a piece may be off.</summary>
    private const double MostFramesOff = 0.25;

    /// <param name="record">What to lay, on the timeline, as far as the file holds sound of this mic.</param>
    /// <param name="unit">Pieces begin and end on these units of the timeline: frames or samples.</param>
    /// <returns>Pieces in order, each inside the file's sound.</returns>
    internal static IEnumerable<TimelineItem> Lay(
        Placement placement, MicChannel mic, TimeRange record, Rate unit, FrameGrid grid, string note)
    {
        foreach ((TimeRange stretch, ClockMap map) in placement.MapOf(mic).Stretches(placement.Clip.Duration))
        {
            TimeRange sound = ClipRanges.Sound(placement.Clip, mic).Intersect(stretch);
            TimeRange range = record.Intersect(Inward(OnTimeline(map, sound, grid), unit));
            foreach (TimeRange piece in Cut(range, LongestPiece(placement, grid.FrameRate), grid.FrameRate))
            {
                MediaTime half = MediaTime.FromSeconds(piece.Duration.ToSeconds() / 2);
                MediaTime source = map.ToClip(grid.ToCommon(piece.Start + half)) - half;
                TimelineItem item = Within(sound, new TimelineItem(placement, piece, source, mic, note), unit);
                if (!item.RecordRange.IsEmpty)
                {
                    yield return item;
                }
            }
        }
    }

    /// <summary>All that a mic recorded, on the timeline.</summary>
    internal static TimeRange OnTimeline(Placement placement, MicChannel mic, FrameGrid grid) =>
        OnTimeline(placement.MapOf(mic), ClipRanges.Sound(placement.Clip, mic), grid);

    /// <param name="map">Without jumps.</param>
    internal static TimeRange OnTimeline(ClockMap map, TimeRange sound, FrameGrid grid) => TimeRange.Between(
        grid.ToTimeline(map.ToCommon(sound.Start)), grid.ToTimeline(map.ToCommon(sound.End)));

    private static TimeRange Inward(TimeRange range, Rate unit) => TimeRange.Between(
        MediaTime.FromUnits(range.Start.ToUnitCeiling(unit), unit), MediaTime.FromUnits(range.End.ToUnitFloor(unit), unit));

    /// <summary>Frames after which the drift, half of it before the middle, reaches what is allowed.</summary>
    private static long LongestPiece(Placement placement, Rate frameRate)
    {
        double drift = Math.Abs(placement.Map.Ppm) * 1e-6;
        double frames = 2 * MostFramesOff / drift;
        return frames < int.MaxValue ? Math.Max(1, (long)frames) : int.MaxValue;
    }

    /// <summary>As few pieces as need be, alike to a frame; between them they part on whole frames.</summary>
    private static IEnumerable<TimeRange> Cut(TimeRange range, long longestFrames, Rate frameRate)
    {
        long first = range.Start.ToUnitFloor(frameRate), last = range.End.ToUnitCeiling(frameRate);
        long pieces = (last - first + longestFrames - 1) / longestFrames;
        for (long piece = 0; piece < pieces; piece++)
        {
            var even = TimeRange.Between(
                MediaTime.FromUnits(first + ((last - first) * piece / pieces), frameRate),
                MediaTime.FromUnits(first + ((last - first) * (piece + 1) / pieces), frameRate));
            yield return even.Intersect(range);
        }
    }

    /// <summary>A piece that is exact in its middle may reach out of the file by what its ends are off.</summary>
    private static TimelineItem Within(TimeRange sound, TimelineItem item, Rate unit)
    {
        MediaTime early = MediaTime.Max(MediaTime.Zero, sound.Start - item.SourceStart);
        MediaTime late = MediaTime.Max(MediaTime.Zero, item.SourceStart + item.RecordRange.Duration - sound.End);
        MediaTime head = MediaTime.FromUnits(early.ToUnitCeiling(unit), unit);
        MediaTime tail = MediaTime.FromUnits(late.ToUnitCeiling(unit), unit);
        return item with
        {
            RecordRange = TimeRange.Between(item.RecordRange.Start + head, item.RecordRange.End - tail),
            SourceStart = item.SourceStart + head,
        };
    }
}
