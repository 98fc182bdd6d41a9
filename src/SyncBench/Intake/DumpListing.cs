using System.Collections.Immutable;
using SyncBench.Media;

namespace SyncBench.Intake;

/// <summary>The files of a dump, in ordinal order of path, and how many were passed over.</summary>
/// <param name="Ignored">Hidden files, files of operating systems, links, pipes and devices.</param>
public sealed record DumpListing(string Root, ImmutableArray<MediaFile> Files, int Ignored)
{
    /// <summary>The dump's folder name.</summary>
    public string Name => Path.GetFileName(Root);

    /// <summary>Hidden files and files of operating systems, which only a manifest can ask for.</summary>
    public ImmutableArray<MediaFile> Hidden { get; init; } = [];

    /// <summary>Folders named "ascmhl", where manifests lie, relative to the dump.</summary>
    public ImmutableArray<string> ManifestFolders { get; init; } = [];

    /// <summary>What could not be looked at.</summary>
    public ImmutableArray<RefusedEntry> Refused { get; init; } = [];
}

/// <summary>A link, pipe, device, or folder that was left alone.</summary>
/// <param name="Path">Relative to the dump.</param>
/// <param name="Problem">What it is and what to do, as the end of a sentence.</param>
/// <param name="HidesFiles">Whether files of the dump may lie behind it.</param>
public sealed record RefusedEntry(string Path, string Problem, bool HidesFiles);
