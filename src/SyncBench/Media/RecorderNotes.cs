using System.Collections.Immutable;
using SyncBench.Time;

namespace SyncBench.Media;

/// <summary>
/// What a recorder wrote of its take into the iXML chunk. Every part is optional: null where the recorder said nothing
/// or nothing that can be understood.
/// </summary>
/// <param name="Tape">The sound roll.</param>
/// <param name="Circled">Whether the take was marked as a good one.</param>
/// <param name="Tracks">In the order of the list.</param>
public sealed record RecorderNotes(
    string? Scene, string? Take, string? Tape, string? Note, bool? Circled, RecorderSpeed? Speed,
    ImmutableArray<RecorderTrack> Tracks)
{
    /// <summary>What the files of one recording have in common (FAMILY_UID), where there are several; null where it is one file.</summary>
    public string? Family { get; init; }

    /// <summary>Name of a channel of the file, 0-based; null where the list gives none.</summary>
    public string? TrackName(int channel) =>
        Tracks.FirstOrDefault(track => track.Channel == channel)?.Name;
}

/// <summary>A track by the name that was given to it on the recorder.</summary>
/// <param name="Channel">0-based channel of the file (INTERLEAVE_INDEX less one).</param>
/// <param name="Function">What it is for, where the recorder says so.</param>
public sealed record RecorderTrack(int Channel, string Name, string? Function);

/// <summary>The speed block: how the recorder counted time.</summary>
/// <param name="MasterSpeed">Frame rate at which the take is meant to play.</param>
/// <param name="CurrentSpeed">Frame rate at which this file plays; another than the master's where it was pulled up or down.</param>
/// <param name="TimecodeRate">Rate of the recorder's timecode.</param>
/// <param name="SamplesSinceMidnight">Of the first sample, at <see cref="TimestampSampleRateHz"/>.</param>
public sealed record RecorderSpeed(
    Rate? MasterSpeed, Rate? CurrentSpeed, Rate? TimecodeRate, bool? DropFrame, int? FileSampleRateHz,
    long? SamplesSinceMidnight, int? TimestampSampleRateHz);
