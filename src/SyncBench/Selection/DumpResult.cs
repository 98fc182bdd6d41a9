using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;

namespace SyncBench.Selection;

/// <summary>A device's clock against the reference device's.</summary>
/// <param name="Ppm">Parts per million by which a second of this device is longer than the reference's.</param>
public sealed record DeviceClock(Device Device, double Ppm, double StandardErrorPpm, bool IsReference);

/// <summary>All that is known of a dump when the analysis is done; timelines and reports are written from it alone.</summary>
/// <param name="Name">The dump's folder name.</param>
/// <param name="Root">Its full path.</param>
/// <param name="Files">Every file, in order of path.</param>
public sealed record DumpResult(
    string Name,
    string Root,
    DateTimeOffset MadeAt,
    ImmutableArray<FileOutcome> Files,
    ImmutableArray<DeviceClock> Clocks,
    ImmutableArray<TakeSound> Takes);
