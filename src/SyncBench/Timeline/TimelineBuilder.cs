using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>
/// Makes the cut of a dump: a picture track for each camera, the dialogue track with the chosen mic, and a track for
/// every mic to choose from. The common clock runs through: what lies between takes stays a gap, and a placed clip
/// outside every take still has its place.
/// </summary>
public sealed class TimelineBuilder
{
    private const string FirstLabel = "01:00:00:00";

    private readonly DumpResult _result;
    private readonly Placement[] _placed;
    private readonly IGrouping<Device, Placement>[] _cameras;
    private readonly FrameGrid _grid;
    private readonly SoundPieces _sound;

    private TimelineBuilder(DumpResult result, TimelineSettings settings)
    {
        _result = result;
        _placed =
        [
            .. result.Files.Where(f => f.Outcome == Outcome.Placed).Select(f => f.Placement!)
                .OrderBy(p => p.CommonRange.Start).ThenBy(p => p.Clip.File.Path, StringComparer.Ordinal),
        ];
        _cameras = [.. Cameras(_placed)];
        Rate rate = settings.AskedRate ?? TimelineRate.Of(_placed, [.. result.Takes.Select(take => take.Take)]);
        MediaTime earliest = _placed.Select(p => p.CommonRange.Start).DefaultIfEmpty().Min();
        _grid = GridPhase.Choose([.. _cameras.SelectMany(camera => camera)], rate, earliest);
        _sound = new SoundPieces(_grid, settings, new SplitRecordings(_placed), new Pauses(result.Takes, _grid));
    }

    /// <summary>The whole dump on one timeline, in cuts alone.</summary>
    /// <param name="settings">Null: the usual ones.</param>
    public static TimelineModel Build(DumpResult result, TimelineSettings? settings = null) =>
        new TimelineBuilder(result, (settings ?? TimelineSettings.Usual) with { SoundDrift = DriftCorrection.Cut }).Whole();

    /// <summary>As the settings ask: the whole dump, or each take by itself and then what lies outside of all.</summary>
    public static ImmutableArray<TimelineModel> Timelines(DumpResult result, TimelineSettings settings)
    {
        var builder = new TimelineBuilder(result, settings);
        return settings.Takes == TakeLayout.Flat ? [builder.Whole()] : builder.EachTake();
    }

    private TimelineModel Whole() => Model(_result.Name, _placed, _result.Takes, Everything(_placed));

    private ImmutableArray<TimelineModel> EachTake()
    {
        TimeRange[] takes = [.. _result.Takes.Select(take => _grid.Snap(take.Take.CommonRange))];
        Placement[] outside =
        [
            .. _placed.Where(p => takes.All(take => take.Intersect(OnTimeline(p)).IsEmpty)),
        ];
        var models = ImmutableArray.CreateBuilder<TimelineModel>();
        foreach ((TakeSound take, TimeRange window) in _result.Takes.Zip(takes))
        {
            Placement[] rolling = [.. _placed.Where(p => !window.Intersect(OnTimeline(p)).IsEmpty)];
            models.Add(Model(take.Take.Name, rolling, [take], window));
        }

        if (outside.Length > 0)
        {
            models.Add(Model("outside takes", outside, [], Everything(outside)));
        }

        return models.ToImmutable();
    }

    private TimeRange OnTimeline(Placement placement) => TimeRange.Between(
        _grid.ToTimeline(placement.CommonRange.Start), _grid.ToTimeline(placement.CommonRange.End));

    /// <summary>Whole frames that hold all of these, and one more to either side for what is rounded.</summary>
    private TimeRange Everything(Placement[] placed)
    {
        TimeRange[] ranges = [.. placed.Select(OnTimeline)];
        MediaTime start = ranges.Select(range => range.Start).DefaultIfEmpty().Min();
        MediaTime end = ranges.Select(range => range.End).DefaultIfEmpty().Max();
        return TimeRange.Between(
            MediaTime.FromUnits(Math.Max(0, start.ToUnitFloor(_grid.FrameRate) - 1), _grid.FrameRate),
            MediaTime.FromUnits(end.ToUnitCeiling(_grid.FrameRate) + 1, _grid.FrameRate));
    }

    /// <param name="window">What of the whole timeline it shows; begins and ends on frames.</param>
    private TimelineModel Model(string name, Placement[] placed, ImmutableArray<TakeSound> takes, TimeRange window)
    {
        var residuals = ImmutableArray.CreateBuilder<GridResidual>();
        ImmutableArray<TimelineTrack> tracks =
        [
            .. _cameras
                .Select(camera => Picture(camera.Key, placed.Where(p => p.Clip.Device == camera.Key && HasPicture(p)), window, residuals))
                .Where(track => !track.Items.IsEmpty || placed == _placed),
            Dialogue(takes, window),
            .. Mics(placed, window),
        ];
        tracks = [.. tracks.Select(track => From(track, window.Start))];
        TimecodeFormat numbering = TimecodeFormat.Of(_grid.FrameRate, UsesDropFrame(_cameras, _grid.FrameRate));
        _ = numbering.TryParse(FirstLabel, out long firstFrame, out _);
        return new TimelineModel(
            name, _grid.FrameRate, numbering, firstFrame + window.Start.ToNearestUnit(_grid.FrameRate),
            _grid.ToCommon(window.Start), Duration(tracks, _grid.FrameRate), tracks,
            [.. SoundMarkers.Of(takes, _grid).Select(marker => From(marker, window.Start))], residuals.ToImmutable());
    }

    private static TimelineTrack From(TimelineTrack track, MediaTime start) => track with
    {
        Items =
        [
            .. track.Items.Select(item => item with { RecordRange = item.RecordRange with { Start = item.RecordRange.Start - start } }),
        ],
        Markers = [.. track.Markers.Select(marker => From(marker, start))],
    };

    private static TimelineMarker From(TimelineMarker marker, MediaTime start) =>
        marker with { RecordRange = marker.RecordRange with { Start = marker.RecordRange.Start - start } };

    private static bool HasPicture(Placement placement) => !placement.Clip.Media.Video.IsEmpty;

    /// <summary>The wide one first; it is the lowest layer.</summary>
    private static IEnumerable<IGrouping<Device, Placement>> Cameras(Placement[] placed) => placed
        .Where(HasPicture)
        .GroupBy(p => p.Clip.Device)
        .OrderByDescending(camera => string.Equals(camera.Key.Angle, "wide", StringComparison.OrdinalIgnoreCase))
        .ThenBy(camera => camera.Key.Name, StringComparer.Ordinal);

    /// <summary>As the first camera that has timecode counts: it says so by the sign before the frames.</summary>
    private static bool UsesDropFrame(IGrouping<Device, Placement>[] cameras, Rate frameRate) => cameras
        .SelectMany(camera => camera)
        .FirstOrDefault(p => p.Clip.Media.StartTimecode is not null && ClipRanges.FrameRate(p.Clip, frameRate) == frameRate)
        ?.Clip.Media.StartTimecode!.Contains(';') == true;

    private TimelineTrack Picture(
        Device camera, IEnumerable<Placement> placed, TimeRange window, ImmutableArray<GridResidual>.Builder residuals)
    {
        var items = ImmutableArray.CreateBuilder<TimelineItem>();
        foreach (Placement placement in placed)
        {
            (ImmutableArray<TimelineItem> pieces, GridResidual residual) = PicturePieces.Lay(placement, _grid, window);
            items.AddRange(pieces);
            residuals.Add(residual);
        }

        string angle = camera.Angle ?? camera.Name;
        string name = angle == camera.Name ? angle : $"{angle} ({camera.Name})";
        return new TimelineTrack(name, TrackKind.Picture, Enabled: true, WithoutOverlaps(items));
    }

    private TimelineTrack Dialogue(ImmutableArray<TakeSound> takes, TimeRange window) => new(
        "Dialogue", TrackKind.Sound, Enabled: true, WithoutOverlaps(takes.SelectMany(take => Dialogue(take, window))))
    {
        Markers = TalkMarkers.Of(takes, _grid),
    };

    /// <summary>On whole frames, so that lists that know nothing finer say the same; where files of one mic meet, to the sample.</summary>
    private IEnumerable<TimelineItem> Dialogue(TakeSound take, TimeRange window)
    {
        for (int i = 0; i < take.Segments.Length; i++)
        {
            (Segment? before, Segment segment, Segment? after) =
                (take.Segments.ElementAtOrDefault(i - 1), take.Segments[i], take.Segments.ElementAtOrDefault(i + 1));
            MicSource source = segment.Source;
            MediaTime? joint = GoesOn(before, segment) ? _sound.JointBefore(source.Placement, source.Mic) : null;
            MediaTime? next = GoesOn(segment, after) ? _sound.JointAfter(source.Placement, source.Mic) : null;
            var record = TimeRange.Between(
                joint ?? _grid.Snap(segment.CommonRange.Start), next ?? _grid.Snap(segment.CommonRange.End));
            foreach (TimelineItem item in _sound.Lay(
                source.Placement, source.Mic, record.Intersect(window), _grid.FrameRate, segment.Reason))
            {
                yield return item with { GainDb = take.Loudness.GainDb(source) };
            }
        }
    }

    /// <summary>Whether a segment is heard from the file that another one's file goes on in.</summary>
    private static bool GoesOn(Segment? first, Segment? second) =>
        first is not null && second is not null && first.Source.Mic == second.Source.Mic
        && second.Source.Placement.Continues == first.Source.Clip.File;

    /// <summary>Disabled: the dialogue already plays the chosen one, and two of one voice comb.</summary>
    private IEnumerable<TimelineTrack> Mics(Placement[] placed, TimeRange window) => MicTracks.Of(placed)
        .Select(mic => new TimelineTrack(
            MicTracks.Name(mic.Key),
            TrackKind.Sound,
            Enabled: false,
            WithoutOverlaps(mic.SelectMany(source => _sound.Lay(
                source.Placement, source.Mic, _sound.OnTimeline(source.Placement, source.Mic).Intersect(window),
                TimelineModel.SoundRate, note: string.Empty)))));

    /// <summary>
    /// Rounding to frames, or the error of a placement, may lay two clips of a device a little over each other; the later
    /// one gives way.
    /// </summary>
    private static ImmutableArray<TimelineItem> WithoutOverlaps(IEnumerable<TimelineItem> items)
    {
        var laid = ImmutableArray.CreateBuilder<TimelineItem>();
        MediaTime free = MediaTime.Zero;
        foreach (TimelineItem item in items.OrderBy(item => item.RecordRange.Start))
        {
            MediaTime start = MediaTime.Max(free, item.RecordRange.Start);
            if (start < item.RecordRange.End)
            {
                laid.Add(item with
                {
                    RecordRange = TimeRange.Between(start, item.RecordRange.End),
                    SourceStart = item.SourceAt(start - item.RecordRange.Start),
                });
                free = item.RecordRange.End;
            }
        }

        return laid.ToImmutable();
    }

    private static MediaTime Duration(ImmutableArray<TimelineTrack> tracks, Rate frameRate)
    {
        MediaTime end = tracks.SelectMany(track => track.Items).Select(item => item.RecordRange.End).DefaultIfEmpty().Max();
        long frames = end.ToUnitCeiling(frameRate);
        while (!IsWhole(MediaTime.FromUnits(frames, frameRate), TimelineModel.SoundRate))
        {
            frames++; // at 29.97 every fifth frame ends with a sample
        }

        return MediaTime.FromUnits(frames, frameRate);
    }

    private static bool IsWhole(MediaTime time, Rate rate) => MediaTime.FromUnits(time.ToNearestUnit(rate), rate) == time;
}
