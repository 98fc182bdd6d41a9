using System.Collections.Immutable;
using System.Globalization;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>
/// Makes the cut of a dump: a picture track for each camera, the dialogue track with the chosen mic, and a track for
/// every mic to choose from. The common clock runs through: what lies between takes stays a gap.
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
        FrameGrid grid = FrameGrid.Of(placed);
        var residuals = ImmutableArray.CreateBuilder<GridResidual>();
        ImmutableArray<TimelineTrack> tracks =
        [
            .. PictureTracks(placed, grid, residuals), Dialogue(result.Takes, grid), .. MicTracks(placed, grid),
        ];
        TimecodeFormat numbering = TimecodeFormat.Of(grid.FrameRate, UsesDropFrame(placed));
        _ = numbering.TryParse(FirstLabel, out long firstFrame);
        return new TimelineModel(
            result.Name, grid.FrameRate, numbering, firstFrame, tracks, Markers(result.Takes, grid),
            residuals.ToImmutable());
    }

    /// <summary>Cameras say how they count by the sign before the frames.</summary>
    private static bool UsesDropFrame(IEnumerable<Placement> placed) =>
        placed.Any(p => p.Clip.Media.StartTimecode?.Contains(';') == true);

    private static IEnumerable<TimelineTrack> PictureTracks(
        Placement[] placed, FrameGrid grid, ImmutableArray<GridResidual>.Builder residuals)
    {
        IEnumerable<IGrouping<Device, Placement>> cameras = placed
            .Where(p => !p.Clip.Media.Video.IsEmpty)
            .GroupBy(p => p.Clip.Device)
            .OrderByDescending(camera => string.Equals(camera.Key.Angle, "wide", StringComparison.OrdinalIgnoreCase))
            .ThenBy(camera => camera.Key.Name, StringComparer.Ordinal);
        foreach (IGrouping<Device, Placement> camera in cameras)
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
            yield return new TimelineTrack(name, TrackKind.Picture, true, WithoutOverlaps(items));
        }
    }

    private static TimelineTrack Dialogue(ImmutableArray<TakeSound> takes, FrameGrid grid)
    {
        var items = ImmutableArray.CreateBuilder<TimelineItem>();
        foreach (Segment segment in takes.SelectMany(take => take.Segments))
        {
            // On whole frames, so that lists that know nothing finer say the same.
            var range = TimeRange.Between(
                grid.ToCommon(grid.Snap(segment.CommonRange.Start)), grid.ToCommon(grid.Snap(segment.CommonRange.End)));
            items.AddRange(SoundPieces.Lay(
                segment.Source.Placement, segment.Source.Mic, range, grid, segment.Reason));
        }

        return new TimelineTrack("Dialogue", TrackKind.Sound, true, WithoutOverlaps(items));
    }

    private static IEnumerable<TimelineTrack> MicTracks(Placement[] placed, FrameGrid grid)
    {
        var mics = placed
            .SelectMany(p => p.Clip.Mics.Select(mic => (Placement: p, Mic: mic)))
            .GroupBy(source => (source.Placement.Clip.Device, source.Mic))
            .OrderBy(mic => mic.Key.Mic.Role)
            .ThenBy(mic => mic.Key.Device.Name, StringComparer.Ordinal)
            .ThenBy(mic => mic.Key.Mic.Channel);
        foreach (var mic in mics)
        {
            var items = ImmutableArray.CreateBuilder<TimelineItem>();
            foreach ((Placement placement, MicChannel channel) in mic)
            {
                items.AddRange(SoundPieces.Lay(placement, channel, placement.CommonRange, grid, string.Empty));
            }

            string name = string.Create(
                CultureInfo.InvariantCulture,
                $"{mic.Key.Mic.Role.InWords()} ({mic.Key.Device.Name} channel {mic.Key.Mic.Channel + 1})");
            yield return new TimelineTrack(name, TrackKind.Sound, false, WithoutOverlaps(items));
        }
    }

    /// <summary>Rounding to frames may lay two neighbours over each other by one; the later one gives way.</summary>
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

    private static ImmutableArray<TimelineMarker> Markers(ImmutableArray<TakeSound> takes, FrameGrid grid)
    {
        TimeRange OnFrames(TimeRange common) => TimeRange.Between(grid.Snap(common.Start), grid.Snap(common.End));
        IEnumerable<TimelineMarker> faults = takes.SelectMany(take => take.Faults).Select(fault => new TimelineMarker(
            OnFrames(fault.CommonRange),
            $"{fault.Kind.InWords()} on {fault.Source.Mic.Role.InWords()}",
            $"{fault.Source.Clip.Device.Name}, {fault.Source.Clip.File.Path}",
            IsFault: true));
        IEnumerable<TimelineMarker> changes = takes.SelectMany(take => take.Segments).Select(segment => new TimelineMarker(
            new TimeRange(grid.Snap(segment.CommonRange.Start), MediaTime.Zero),
            $"mic: {segment.Source.Mic.Role.InWords()}",
            segment.Reason,
            IsFault: false));
        return [.. faults.Concat(changes).OrderBy(marker => marker.RecordRange.Start)];
    }
}
