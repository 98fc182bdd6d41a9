using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection.Speakers;
using SyncBench.Time;

namespace SyncBench.Selection;

public enum FaultKind
{
    Wind,
    Rustle,
    Clipping,

    /// <summary>The radio link is lost: mutes of less than a second, or a hole below the mic's own noise.</summary>
    Dropout,

    /// <summary>A second or more without any signal.</summary>
    Silence,
    Hum,
    Hiss,

    /// <summary>The mic, its stand or its cable is struck.</summary>
    Knock,

    /// <summary>An automatic gain brings the room up in every pause and pushes it down with the next word.</summary>
    Pumping,
}

/// <summary>One mic of one placed clip.</summary>
public sealed record MicSource(Placement Placement, MicChannel Mic)
{
    public Clip Clip => Placement.Clip;

    /// <summary>What all clips of one mic share: a device that stops and starts again goes on as the same one.</summary>
    internal (Device Device, int Channel) Line => (Clip.Device, Mic.Channel);
}

/// <summary>A stretch in which a mic is not fit to be heard.</summary>
/// <param name="CommonRange">On the common clock.</param>
public sealed record Fault(FaultKind Kind, MicSource Source, TimeRange CommonRange);

/// <summary>A stretch of dialogue taken from one mic.</summary>
/// <param name="CommonRange">On the common clock.</param>
/// <param name="Reason">In words: "lavalier: cleaner by 9 dB", "shotgun: lavalier has rustle from 0:03:12 to 0:03:31".</param>
/// <param name="ByHand">Whether a person's correction chose the mic.</param>
public sealed record Segment(TimeRange CommonRange, MicSource Source, string Reason, bool ByHand = false);

/// <summary>How a mic sounds along a take, at <see cref="Step"/>: drawn by the report.</summary>
/// <param name="LevelDb">Speech-band level, dB relative to full scale, one a step; NaN where the mic does not roll.</param>
/// <param name="NoiseDb">Noise floor in the same band.</param>
/// <param name="PeakDb">Highest sample of the step, dB relative to full scale.</param>
public sealed record MicCurve(
    MicSource Source, MediaTime Start, MediaTime Step,
    ImmutableArray<float> LevelDb, ImmutableArray<float> NoiseDb, ImmutableArray<float> PeakDb);

/// <summary>The sound of a take: which mic is heard when, what is wrong with the others, and how it looks.</summary>
/// <param name="Segments">In order; together they cover every instant of the take at which some mic rolls.</param>
public sealed record TakeSound(
    Take Take,
    ImmutableArray<Segment> Segments,
    ImmutableArray<Fault> Faults,
    ImmutableArray<MicCurve> Curves)
{
    /// <summary>Who speaks when.</summary>
    public Talk Talk { get; init; } = Talk.Untold("it was not asked who speaks");

    /// <summary>Of each mic with enough clear speech.</summary>
    public ImmutableArray<RoomSound> Rooms { get; init; } = [];

    public TakeLoudness Loudness { get; init; } = TakeLoudness.Unknown;
}
