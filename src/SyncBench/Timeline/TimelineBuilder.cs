using System.Collections.Immutable;
using System.Globalization;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>
/// Makes the cut of a dump: a picture track for each camera, the dialogue track with the chosen mic, and a track for
/// every mic to choose from. The common clock runs through: what lies between takes stays a gap, and a placed clip
/// outside every take still has its place.
/// </summary>
public static class TimelineBuilder
{
    private const string FirstLabel = "01:00:00:00";

    public static TimelineModel Build(DumpResult result)
    {
        Placement[] placed =
        [
            .. result.Files.Where(f => f.Outcome == Outcome.Placed).Select(f => f.Placement!)
                .OrderBy(p => p.CommonRange.Start).ThenBy(p => p.Clip.File.Path, StringComparer.Ordinal),
        ];
        IGrouping<Device, Placement>[] cameras = [.. Cameras(placed)];
        FrameGrid grid = Grid(placed, cameras);
        var residuals = ImmutableArray.CreateBuilder<GridResidual>();
        ImmutableArray<TimelineTrack> tracks =
        [
            .. cameras.Select(camera => Picture(camera, grid, residuals)),
            Dialogue(result.Takes, grid),
            .. Mics(placed, grid),
        ];
        TimecodeFormat numbering = TimecodeFormat.Of(grid.FrameRate, UsesDropFrame(cameras, grid.FrameRate));
        _ = numbering.TryParse(FirstLabel, out long firstFrame, out _);
        return new TimelineModel(
            result.Name, grid.FrameRate, numbering, firstFrame, grid.Origin, Duration(tracks, grid.FrameRate), tracks,
            Markers(result.Takes, grid), residuals.ToImmutable());
    }

    /// <summary>The wide one first; it is the lowest layer and the one whose frames the timeline follows.</summary>
    private static IEnumerable<IGrouping<Device, Placement>> Cameras(Placement[] placed) => placed
        .Where(p => !p.Clip.Media.Video.IsEmpty)
        .GroupBy(p => p.Clip.Device)
        .OrderByDescending(camera => string.Equals(camera.Key.Angle, "wide", StringComparison.OrdinalIgnoreCase))
        .ThenBy(camera => camera.Key.Name, StringComparer.Ordinal);

    /// <summary>Through the first frame of the first camera that runs at the timeline's rate.</summary>
    private static FrameGrid Grid(Placement[] placed, IGrouping<Device, Placement>[] cameras)
    {
        Rate rate = TimelineRate.Of(placed);
        MediaTime earliest = placed.Select(p => p.CommonRange.Start).DefaultIfEmpty().Min();
        Placement? first = cameras.SelectMany(camera => camera)
            .FirstOrDefault(p => ClipRanges.FrameRate(p.Clip, rate) == rate);
        return first is null
            ? new FrameGrid(rate, earliest)
            : FrameGrid.Through(first.Map.ToCommon(ClipRanges.Picture(first.Clip, rate).Start), rate, earliest);
    }

    /// <summary>As the first camera that has timecode counts: it says so by the sign before the frames.</summary>
    private static bool UsesDropFrame(IGrouping<Device, Placement>[] cameras, Rate frameRate) => cameras
        .SelectMany(camera => camera)
        .FirstOrDefault(p => p.Clip.Media.StartTimecode is not null && ClipRanges.FrameRate(p.Clip, frameRate) == frameRate)
        ?.Clip.Media.StartTimecode!.Contains(';') == true;

    private static TimelineTrack Picture(
        IGrouping<Device, Placement> camera, FrameGrid grid, ImmutableArray<GridResidual>.Builder residuals)
    {
        var items = ImmutableArray.CreateBuilder<TimelineItem>();
        foreach (Placement placement in camera)
        {
            (ImmutableArray<TimelineItem> pieces, GridResidual residual) = PicturePieces.Lay(placement, grid);
            items.AddRange(pieces);
            residuals.Add(residual);
        }

        string angle = camera.Key.Angle ?? camera.Key.Name;
        string name = angle == camera.Key.Name ? angle : $"{angle} ({camera.Key.Name})";
        return new TimelineTrack(name, TrackKind.Picture, Enabled: true, WithoutOverlaps(items));
    }

    /// <summary>On whole frames, so that lists that know nothing finer say the same.</summary>
    private static TimelineTrack Dialogue(ImmutableArray<TakeSound> takes, FrameGrid grid) => new(
        "Dialogue", TrackKind.Sound, Enabled: true, WithoutOverlaps(takes.SelectMany(take => take.Segments.SelectMany(
            segment => SoundPieces
                .Lay(
                    segment.Source.Placement, segment.Source.Mic, grid.Snap(segment.CommonRange), grid.FrameRate, grid,
                    segment.Reason)
                .Select(item => item with { GainDb = take.Loudness.GainDb(segment.Source) })))))
    {
        Markers = TalkMarkers.Of(takes, grid),
    };

    /// <summary>Disabled: the dialogue already plays the chosen one, and two of one voice comb.</summary>
    private static IEnumerable<TimelineTrack> Mics(Placement[] placed, FrameGrid grid) => placed
        .SelectMany(p => p.Clip.SpeechMics.Select(mic => (Placement: p, Mic: mic)))
        .GroupBy(source => (source.Placement.Clip.Device, source.Mic))
        .OrderBy(mic => mic.Key.Mic.Role)
        .ThenBy(mic => mic.Key.Device.Name, StringComparer.Ordinal)
        .ThenBy(mic => mic.Key.Mic.Channel)
        .Select(mic => new TimelineTrack(
            string.Create(
                CultureInfo.InvariantCulture,
                $"{mic.Key.Mic.Role.InWords()} ({mic.Key.Device.Name} channel {mic.Key.Mic.Channel + 1})"),
            TrackKind.Sound,
            Enabled: false,
            WithoutOverlaps(mic.SelectMany(source => SoundPieces.Lay(
                source.Placement, source.Mic, SoundPieces.OnTimeline(source.Placement, source.Mic, grid),
                TimelineModel.SoundRate, grid, note: string.Empty)))));

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
                    SourceStart = item.SourceStart + (start - item.RecordRange.Start),
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

    private static ImmutableArray<TimelineMarker> Markers(ImmutableArray<TakeSound> takes, FrameGrid grid)
    {
        IEnumerable<TimelineMarker> faults = takes.SelectMany(take => take.Faults).Select(fault => new TimelineMarker(
            grid.Snap(fault.CommonRange),
            $"{fault.Kind.InWords()} on {fault.Source.Mic.Role.InWords()}",
            $"{fault.Source.Clip.Device.Name}, {fault.Source.Clip.File.Path}",
            MarkerKind.Fault));
        IEnumerable<TimelineMarker> changes = takes.SelectMany(take => take.Segments).Select(segment => new TimelineMarker(
            new TimeRange(grid.Snap(segment.CommonRange.Start), MediaTime.Zero),
            $"mic: {segment.Source.Mic.Role.InWords()}",
            segment.Reason,
            MarkerKind.MicChange));
        return [.. faults.Concat(changes).OrderBy(marker => marker.RecordRange.Start)];
    }
}
