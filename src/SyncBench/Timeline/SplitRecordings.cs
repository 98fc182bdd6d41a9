using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>Which files go on from one another, so that no hole is left where they meet.</summary>
/// <param name="placed">Everything that is on the timeline.</param>
internal sealed class SplitRecordings(IEnumerable<Placement> placed)
{
    /// <summary>Mics of one file may be told apart a little otherwise than those of the next; more than this is a hole.</summary>
    private static readonly MediaTime MostApart = MediaTime.FromMilliseconds(1);

    private readonly ImmutableArray<Placement> _placed = [.. placed];

    /// <returns>Common time at which the sound of a mic goes on from the file before; null where it begins anew.</returns>
    internal MediaTime? JointBefore(Placement placement, MicChannel mic) =>
        placement.Continues is { } before && _placed.FirstOrDefault(p => p.Clip.File == before) is { } first
            ? Joint(first, placement, mic) : null;

    /// <returns>Common time at which the sound of a mic goes on in the next file; null where it ends.</returns>
    internal MediaTime? JointAfter(Placement placement, MicChannel mic) =>
        _placed.FirstOrDefault(p => p.Continues == placement.Clip.File) is { } next ? Joint(placement, next, mic) : null;

    private static MediaTime? Joint(Placement first, Placement second, MicChannel mic)
    {
        if (!first.Clip.Mics.Contains(mic) || !second.Clip.Mics.Contains(mic))
        {
            return null;
        }

        MediaTime ends = first.MapOf(mic).ToCommon(ClipRanges.Sound(first.Clip, mic).End);
        MediaTime begins = second.MapOf(mic).ToCommon(ClipRanges.Sound(second.Clip, mic).Start);
        return MediaTime.Abs(begins - ends) <= MostApart ? begins : null;
    }
}
