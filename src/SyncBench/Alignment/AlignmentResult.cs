using System.Collections.Immutable;
using SyncBench.Media;

namespace SyncBench.Alignment;

/// <summary>A device's clock against the reference device's.</summary>
/// <param name="Ppm">Parts per million by which a second of this device is longer than the reference's.</param>
/// <param name="Timecode">
/// The check of one of the clips, where the device's timecode was not set to the same source as the others': all of its
/// clips, or nearly all, are off by as much. Null where it was, or cannot be told.
/// </param>
public sealed record DeviceClock(
    Device Device, double Ppm, double StandardErrorPpm, bool IsReference, TimecodeCheck? Timecode = null);

/// <summary>What alignment says of a clip.</summary>
/// <param name="Placement">Null where set aside.</param>
/// <param name="Damage">What is wrong with its sound, in words; null where nothing is.</param>
/// <param name="Timecode">Null where it was not placed by sound, or there is no timecode to hold against another.</param>
public sealed record ClipOutcome(
    Clip Clip, Outcome Outcome, Placement? Placement, string Reason, string? Damage = null, TimecodeCheck? Timecode = null);

/// <summary>What alignment says of all clips.</summary>
/// <param name="Clips">In the order in which they were given.</param>
/// <param name="Clocks">Of every device that has a placed clip, the reference first, then by name.</param>
public sealed record AlignmentResult(ImmutableArray<ClipOutcome> Clips, ImmutableArray<DeviceClock> Clocks);
