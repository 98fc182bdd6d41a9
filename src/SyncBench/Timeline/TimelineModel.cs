using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

public enum TrackKind
{
    Picture,
    Sound,
}

/// <summary>A piece of a clip on a track.</summary>
/// <param name="RecordRange">On the timeline, zero at its first frame.</param>
/// <param name="SourceStart">On the clip's own clock; as long as <paramref name="RecordRange"/>.</param>
/// <param name="Mic">The channel that is heard; null for picture.</param>
/// <param name="Note">Why it is here; empty where there is nothing to say.</param>
public sealed record TimelineItem(
    Placement Placement, TimeRange RecordRange, MediaTime SourceStart, MicChannel? Mic, string Note)
{
    public Clip Clip => Placement.Clip;

    /// <summary>What raises this piece so that the dialogue of its take meets the target loudness; null if not known.</summary>
    public double? GainDb { get; init; }

    /// <summary>Seconds of the file that are heard in a second of the timeline; null where it plays as recorded.</summary>
    public double? TimeScalar { get; init; }

    /// <summary>What of the clip is heard or seen so long after the item's start, on the clip's own clock.</summary>
    internal MediaTime SourceAt(MediaTime after) =>
        SourceStart + (TimeScalar is { } scalar ? MediaTime.FromSeconds(after.ToSeconds() * scalar) : after);
}

/// <summary>Items in order; they do not overlap.</summary>
/// <param name="Enabled">A disabled track is there to choose from and is neither seen nor heard.</param>
public sealed record TimelineTrack(string Name, TrackKind Kind, bool Enabled, ImmutableArray<TimelineItem> Items)
{
    /// <summary>Remarks on this track alone.</summary>
    public ImmutableArray<TimelineMarker> Markers { get; init; } = [];
}

public enum MarkerKind
{
    /// <summary>A stretch in which a mic is not fit to be heard.</summary>
    Fault,
    MicChange,
    Answer,
    Question,
}

/// <summary>A remark on the timeline.</summary>
/// <param name="RecordRange">Whole frames; empty for an instant.</param>
public sealed record TimelineMarker(TimeRange RecordRange, string Name, string Comment, MarkerKind Kind);

/// <summary>How far a clip's frames lie from the timeline's at worst; at most half a frame.</summary>
public sealed record GridResidual(Clip Clip, MediaTime Worst);

/// <summary>The cut, whatever file it is written to.</summary>
/// <param name="FrameRate">Of the timeline; one of <see cref="TimecodeFormat.FrameRates"/>.</param>
/// <param name="Numbering">How its frames are labelled.</param>
/// <param name="FirstFrame">Number of the timeline's first frame: 01:00:00:00 (common practice).</param>
/// <param name="Start">Common time of the first frame.</param>
/// <param name="Duration">Reaches to the end of the longest track: a whole number of frames and of samples at 48 kHz.</param>
/// <param name="Tracks">Picture from the lowest layer up, then dialogue, then every mic.</param>
/// <param name="Residuals">One for each clip with picture.</param>
public sealed record TimelineModel(
    string Name,
    Rate FrameRate,
    TimecodeFormat Numbering,
    long FirstFrame,
    MediaTime Start,
    MediaTime Duration,
    ImmutableArray<TimelineTrack> Tracks,
    ImmutableArray<TimelineMarker> Markers,
    ImmutableArray<GridResidual> Residuals)
{
    /// <summary>The rate in which positions of sound are written, whatever the rate of the files.</summary>
    public static Rate SoundRate => Rate.Hz48000;

    /// <summary>Over all clips with picture; zero where there are none.</summary>
    public MediaTime WorstResidual => Residuals.Select(residual => residual.Worst).DefaultIfEmpty().Max();
}
