using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>
/// Lays a camera clip's frames on the timeline's. The two clocks drift, so where a frame would come to lie more than
/// half a frame off, the clip is cut and goes on one frame later or earlier.
/// </summary>
internal sealed class PicturePieces
{
    private readonly Placement _placement;
    private readonly ClockMap _map;
    private readonly FrameGrid _grid;
    private readonly Rate _sourceRate;
    private readonly TimeRange _picture;
    private readonly MediaTime _halfFrame;

    private PicturePieces(Placement placement, TimeRange stretch, ClockMap map, FrameGrid grid)
    {
        _placement = placement;
        _map = map;
        _grid = grid;
        _sourceRate = ClipRanges.FrameRate(placement.Clip, grid.FrameRate);
        _picture = WholeFrames(ClipRanges.Picture(placement.Clip, _sourceRate), stretch, _sourceRate);
        _halfFrame = _sourceRate.HalfUnit;
    }

    /// <param name="window">What of the timeline to fill; whole frames.</param>
    /// <returns>The pieces in order, and how far off the worst frame lies.</returns>
    internal static (ImmutableArray<TimelineItem> Items, GridResidual Residual) Lay(
        Placement placement, FrameGrid grid, TimeRange window)
    {
        var items = ImmutableArray.CreateBuilder<TimelineItem>();
        MediaTime worst = MediaTime.Zero;
        foreach ((TimeRange stretch, ClockMap map) in placement.Map.Stretches(placement.Clip.Duration))
        {
            worst = MediaTime.Max(worst, new PicturePieces(placement, stretch, map, grid).Lay(items, window));
        }

        return (items.ToImmutable(), new GridResidual(placement.Clip, worst));
    }

    /// <summary>How far off the worst frame of a clip lies.</summary>
    internal static MediaTime Worst(Placement placement, FrameGrid grid)
    {
        MediaTime end = grid.ToTimeline(placement.CommonRange.End) + grid.FrameRate.Unit;
        return Lay(placement, grid, TimeRange.Between(MediaTime.Zero, end)).Residual.Worst;
    }

    /// <summary>The frames that begin within a stretch between two jumps of the clock.</summary>
    private static TimeRange WholeFrames(TimeRange picture, TimeRange stretch, Rate rate)
    {
        long first = Math.Max(0, (stretch.Start - picture.Start).ToUnitCeiling(rate));
        long last = Math.Min(picture.Duration.ToNearestUnit(rate), (stretch.End - picture.Start).ToUnitCeiling(rate));
        return TimeRange.Between(
            picture.Start + MediaTime.FromUnits(first, rate),
            picture.Start + MediaTime.FromUnits(Math.Max(first, last), rate));
    }

    /// <returns>How far off the worst frame lies.</returns>
    private MediaTime Lay(ImmutableArray<TimelineItem>.Builder items, TimeRange window)
    {
        MediaTime worst = MediaTime.Zero;
        long record = Math.Max(FirstFrame(), window.Start.ToNearestUnit(_grid.FrameRate));
        long end = window.End.ToNearestUnit(_grid.FrameRate);
        while (true)
        {
            MediaTime source = NearestFrame(record);
            long left = Math.Min((_picture.End - source).ToUnitFloor(_grid.FrameRate), end - record);
            if (left < 1)
            {
                break;
            }

            long length = FramesInPlace(record, source, left);
            worst = MediaTime.Max(worst, MediaTime.Max(
                MediaTime.Abs(Off(record, source, 0)), MediaTime.Abs(Off(record, source, length - 1))));
            items.Add(new TimelineItem(
                _placement, new TimeRange(Frames(record), Frames(length)), source, Mic: null, Note: string.Empty));
            record += length;
        }

        return worst;
    }

    /// <summary>The first frame of the timeline for which the clip has one.</summary>
    private long FirstFrame()
    {
        long record = _grid.ToTimeline(_map.ToCommon(_picture.Start)).ToNearestUnit(_grid.FrameRate);
        return Wanted(record) + _halfFrame < _picture.Start ? record + 1 : record;
    }

    /// <summary>Clip time that belongs to a frame of the timeline.</summary>
    private MediaTime Wanted(long record) => _map.ToClip(_grid.ToCommon(Frames(record)));

    /// <summary>Clip time of the clip's frame that belongs to a frame of the timeline.</summary>
    private MediaTime NearestFrame(long record)
    {
        long frame = (Wanted(record) - _picture.Start).ToNearestUnit(_sourceRate);
        return _picture.Start + MediaTime.FromUnits(Math.Max(0, frame), _sourceRate);
    }

    /// <summary>How far the picture is off <paramref name="frames"/> frames into a piece.</summary>
    private MediaTime Off(long record, MediaTime source, long frames) =>
        Wanted(record + frames) - (source + Frames(frames));

    /// <summary>How many frames of a piece lie within half a frame of their place; 1 to <paramref name="left"/>.</summary>
    private long FramesInPlace(long record, MediaTime source, long left)
    {
        double growth = DriftOfAFrame();
        if (growth == 0)
        {
            return left;
        }

        double off = Off(record, source, 0).ToSeconds();
        double half = _halfFrame.ToSeconds();
        double frames = growth > 0 ? (half - off) / growth : (half + off) / -growth;

        // The estimate is good to a frame; the exact comparison decides.
        long length = (long)Math.Clamp(frames - 1, 1, left);
        while (length < left && MediaTime.Abs(Off(record, source, length)) <= _halfFrame)
        {
            length++;
        }

        return length;
    }

    /// <summary>Seconds by which a frame of the timeline is longer in the clip than on the timeline.</summary>
    private double DriftOfAFrame()
    {
        double drift = _map.Ppm * 1e-6;
        return -drift / (1 + drift) / _grid.FrameRate.PerSecond;
    }

    private MediaTime Frames(long count) => MediaTime.FromUnits(count, _grid.FrameRate);
}
