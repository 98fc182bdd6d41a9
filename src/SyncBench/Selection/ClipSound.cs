using System.Collections.Immutable;
using SyncBench.Alignment;

namespace SyncBench.Selection;

/// <summary>What was measured of a clip's sound in the one streaming pass; entry c of each belongs to channel c.</summary>
public sealed record ClipSound(
    ImmutableArray<BandLevels> Bands, ImmutableArray<MicMeasure> Measures, ImmutableArray<ImmutableArray<HumStretch>> Hum)
{
    public ImmutableArray<ChannelLoudness> Loudness { get; init; } = [];

    /// <summary>The samples at the analysis rate; null where they are not kept.</summary>
    public SoundStore? Samples { get; init; }
}
