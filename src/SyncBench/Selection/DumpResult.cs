using System.Collections.Immutable;
using SyncBench.Alignment;

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
    ImmutableArray<TakeSound> Takes);
