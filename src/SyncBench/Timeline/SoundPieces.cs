using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>
/// Lays a stretch of one mic on the timeline. Where its clock drifts, it is cut in pauses into pieces that are exact in
/// their middle, or played at another speed.
/// </summary>
internal sealed class SoundPieces(FrameGrid grid, TimelineSettings settings, SplitRecordings recordings, Pauses pauses)
{
    /// <summary>A cut may come this much before it has to, to fall into a pause.</summary>
    private const double Leeway = 1.0 / 3;

    /// <summary>
    /// Share of the longest piece that one may have which is exact at an end and not in its middle: half of it, less what
    /// two files may be apart where they meet.
    /// </summary>
    private const double LongestAtJoint = 0.4;

    /// <summary>No piece that has to be cut off is shorter, where the stretch is long enough.</summary>
    private static readonly MediaTime Shortest = MediaTime.FromSeconds(1);

    /// <param name="record">What to lay, on the timeline, as far as the file holds sound of this mic.</param>
    /// <param name="unit">Where the file begins and ends, pieces do so on these units of the timeline: frames or samples.</param>
    /// <returns>Pieces in order, each inside the file's sound; they part on frames.</returns>
    internal IEnumerable<TimelineItem> Lay(Placement placement, MicChannel mic, TimeRange record, Rate unit, string note)
    {
        TimeRange all = ClipRanges.Sound(placement.Clip, mic);
        foreach ((TimeRange stretch, ClockMap map) in placement.MapOf(mic).Stretches(placement.Clip.Duration))
        {
            TimeRange sound = all.Intersect(stretch);
            TimeRange inside = Inward(OnTimeline(map, sound), unit);
            MediaTime? before = sound.Start == all.Start ? JointBefore(placement, mic) : null;
            MediaTime? after = sound.End == all.End ? JointAfter(placement, mic) : null;
            TimeRange range = record.Intersect(TimeRange.Between(before ?? inside.Start, after ?? inside.End));
            if (range.IsEmpty)
            {
                continue;
            }

            var ends = new Ends(range.Start == before, range.End == after);
            foreach ((TimeRange piece, bool warped) in Cut(placement, mic, range, map, sound, ends))
            {
                TimelineItem item = warped ? Warped(placement, mic, map, piece, sound) : Straight(placement, mic, map, piece);
                item = Within(
                    sound, item with { Note = note }, unit, new Ends(ends.MeetsBefore && piece.Start == range.Start, ends.MeetsAfter && piece.End == range.End));
                if (!item.RecordRange.IsEmpty)
                {
                    yield return item;
                }
            }
        }
    }

    /// <summary>Where a mic goes on from the file before, on the timeline, to the sample; null where it begins anew.</summary>
    internal MediaTime? JointBefore(Placement placement, MicChannel mic) =>
        recordings.JointBefore(placement, mic) is { } joint ? ToSample(joint) : null;

    internal MediaTime? JointAfter(Placement placement, MicChannel mic) =>
        recordings.JointAfter(placement, mic) is { } joint ? ToSample(joint) : null;

    /// <summary>All that a mic recorded, on the timeline, rounded outward: <see cref="Lay"/> knows where it begins and ends.</summary>
    internal TimeRange OnTimeline(Placement placement, MicChannel mic)
    {
        TimeRange range = OnTimeline(placement.MapOf(mic), ClipRanges.Sound(placement.Clip, mic));
        return TimeRange.Between(range.Start - grid.FrameRate.Unit, range.End + grid.FrameRate.Unit);
    }

    /// <param name="map">Without jumps.</param>
    internal static TimeRange OnTimeline(ClockMap map, TimeRange sound, FrameGrid grid) => TimeRange.Between(
        grid.ToTimeline(map.ToCommon(sound.Start)), grid.ToTimeline(map.ToCommon(sound.End)));

    private TimeRange OnTimeline(ClockMap map, TimeRange sound) => OnTimeline(map, sound, grid);

    private MediaTime ToSample(MediaTime common) => MediaTime.FromUnits(
        grid.ToTimeline(common).ToNearestUnit(TimelineModel.SoundRate), TimelineModel.SoundRate);

    private static TimeRange Inward(TimeRange range, Rate unit) => TimeRange.Between(
        MediaTime.FromUnits(range.Start.ToUnitCeiling(unit), unit), MediaTime.FromUnits(range.End.ToUnitFloor(unit), unit));

    private IEnumerable<(TimeRange Piece, bool Warped)> Cut(
        Placement placement, MicChannel mic, TimeRange range, ClockMap map, TimeRange sound, Ends ends)
    {
        double drift = Math.Abs(1 - (1 / (1 + (map.Ppm * 1e-6))));
        long longest = LongestPiece(drift);
        long atJoint = Math.Max(1, (long)(LongestAtJoint * longest));
        bool warps = settings.SoundDrift == DriftCorrection.Warp
            && drift * range.Duration.ToSeconds() > settings.DriftFrames / grid.FrameRate.PerSecond;

        long first = range.Start.ToUnitFloor(grid.FrameRate), last = range.End.ToUnitCeiling(grid.FrameRate), at = first;
        if (warps)
        {
            // What a reader that knows no warp would take has to lie in the file too: the rest is laid as it is.
            bool reachesOut = map.ToClip(grid.ToCommon(range.Start)) + range.Duration > sound.End;
            at = reachesOut ? Math.Max(first, last - atJoint) : last;
            if (at > first)
            {
                yield return (Frames(first, at).Intersect(range), true);
            }
        }

        // A file shorter than its room cannot fill it to an end with a piece that is exact in its middle.
        bool isShort = map.Ppm > 0 || range.Duration > sound.Duration;
        while (at < last)
        {
            bool mustBegin = isShort && ends.MeetsBefore && at == first, mustEnd = isShort && ends.MeetsAfter;
            long left = last - at, most = mustBegin ? atJoint : longest;
            long mostAsLast = mustEnd ? mustBegin ? 1 : atJoint : most; // one piece is not exact at both ends
            long length = left;
            if (left > mostAsLast)
            {
                length = Math.Min(most, left - Math.Min(left / 2, Shortest.ToNearestUnit(grid.FrameRate)));
                long soonest = Math.Max(1, (long)(length * (1 - Leeway)));
                length = pauses.Quietest(placement, mic, at + soonest, at + length) - at;
            }

            yield return (Frames(at, at + length).Intersect(range), false);
            at += length;
        }
    }

    /// <summary>Frames after which the drift, half of it before the middle, reaches what is allowed.</summary>
    private long LongestPiece(double drift)
    {
        double frames = 2 * settings.DriftFrames / drift;
        return frames < int.MaxValue ? Math.Max(1, (long)frames) : int.MaxValue;
    }

    private TimeRange Frames(long from, long to) => TimeRange.Between(
        MediaTime.FromUnits(from, grid.FrameRate), MediaTime.FromUnits(to, grid.FrameRate));

    /// <summary>Exact in its middle.</summary>
    private TimelineItem Straight(Placement placement, MicChannel mic, ClockMap map, TimeRange piece)
    {
        MediaTime half = MediaTime.FromSeconds(piece.Duration.ToSeconds() / 2);
        return new TimelineItem(placement, piece, map.ToClip(grid.ToCommon(piece.Start + half)) - half, mic, string.Empty);
    }

    /// <summary>
    /// Exact throughout. Its ends and its place in the file are rounded to samples, so the speed gives way by two where the
    /// file would not reach.
    /// </summary>
    private TimelineItem Warped(Placement placement, MicChannel mic, ClockMap map, TimeRange piece, TimeRange sound)
    {
        MediaTime source = MediaTime.Max(sound.Start, map.ToClip(grid.ToCommon(piece.Start)));
        double left = (sound.End - source - MediaTime.FromUnits(2, TimelineModel.SoundRate)).ToSeconds();
        return new TimelineItem(placement, piece, source, mic, string.Empty)
        {
            TimeScalar = Math.Min(1 / (1 + (map.Ppm * 1e-6)), left / piece.Duration.ToSeconds()),
        };
    }

    /// <summary>
    /// A piece that is exact in its middle may reach out of the file by what its ends are off. Where the recording goes on
    /// in another file it is exact there instead; elsewhere what is not there is left out.
    /// </summary>
    private static TimelineItem Within(TimeRange sound, TimelineItem item, Rate unit, Ends ends)
    {
        MediaTime source = item.SourceStart;
        source = ends.MeetsAfter ? MediaTime.Min(source, sound.End - item.RecordRange.Duration) : source;
        source = ends.MeetsBefore ? MediaTime.Max(source, sound.Start) : source;
        MediaTime early = MediaTime.Max(MediaTime.Zero, sound.Start - source);
        MediaTime late = MediaTime.Max(MediaTime.Zero, source + item.RecordRange.Duration - sound.End);
        MediaTime head = MediaTime.FromUnits(early.ToUnitCeiling(unit), unit);
        MediaTime tail = MediaTime.FromUnits(late.ToUnitCeiling(unit), unit);
        return item with
        {
            RecordRange = TimeRange.Between(item.RecordRange.Start + head, item.RecordRange.End - tail),
            SourceStart = source + head,
        };
    }

    /// <summary>Whether sound goes on from another file and in another file.</summary>
    private readonly record struct Ends(bool MeetsBefore, bool MeetsAfter);
}
