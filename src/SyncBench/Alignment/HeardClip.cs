using System.Collections.Immutable;
using SyncBench.Media;

namespace SyncBench.Alignment;

/// <summary>A clip after the streaming pass: what alignment needs of its sound.</summary>
/// <param name="Bands">One a channel, in channel order.</param>
/// <param name="Sound">The samples, at the analysis rate.</param>
/// <param name="Timecode">When it began by its own timecode; null where it has none.</param>
public sealed record HeardClip(
    Clip Clip, ImmutableArray<BandLevels> Bands, SoundStore Sound, StartClock? Timecode = null);
