using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Selection;

namespace SyncBench.Timeline.Dialogue;

/// <summary>One mic of a take as if it were heard all through: what a file of all mics is rendered from.</summary>
internal sealed record SeparateMic(string Name, TakeSound Sound);

internal static class SeparateMics
{
    /// <summary>In the order of the timeline's tracks; every mic as it was recorded, at its own level.</summary>
    internal static ImmutableArray<SeparateMic> Of(Take take) =>
    [
        .. MicTracks.Of(take.Placements)
            .Select(mic => new SeparateMic(MicTracks.Name(mic.Key), new TakeSound(take, Segments(take, mic), [], []))),
    ];

    private static ImmutableArray<Segment> Segments(Take take, IEnumerable<MicSource> files) =>
    [
        .. files.Select(source => new Segment(source.Placement.CommonRange.Intersect(take.CommonRange), source, "as recorded"))
            .Where(segment => !segment.CommonRange.IsEmpty)
            .OrderBy(segment => segment.CommonRange.Start),
    ];
}
