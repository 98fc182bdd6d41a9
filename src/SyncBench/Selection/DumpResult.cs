using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Selection;

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
    ImmutableArray<TakeSound> Takes)
{
    /// <summary>What is to be said of the dump as a whole, the most urgent first.</summary>
    public ImmutableArray<IntakeFinding> Findings { get; init; } = [];

    /// <summary>The xxh128 checksum of each file that could be read whole.</summary>
    public ImmutableDictionary<MediaFile, string> Checksums { get; init; } = ImmutableDictionary<MediaFile, string>.Empty;

    /// <summary>How far the worst frame of each file with picture lies from the timeline's; empty until there is one.</summary>
    public ImmutableDictionary<MediaFile, MediaTime> FrameResiduals { get; init; } = ImmutableDictionary<MediaFile, MediaTime>.Empty;

    /// <summary>Whether somebody has to look at a file, or at the dump as a whole.</summary>
    public bool NeedsAPerson => Files.Any(file => file.NeedsAPerson) || Findings.Any(finding => finding.NeedsAPerson);
}
