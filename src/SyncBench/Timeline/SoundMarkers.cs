using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>Markers of the whole cut: every fault as long as it lasts, and every change of mic.</summary>
internal static class SoundMarkers
{
    internal static IEnumerable<TimelineMarker> Of(ImmutableArray<TakeSound> takes, FrameGrid grid)
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
        return faults.Concat(changes).OrderBy(marker => marker.RecordRange.Start);
    }
}
