using System.Collections.Immutable;
using SyncBench.Media;

namespace SyncBench.Intake;

/// <summary>The files of a dump, in ordinal order of path, and how many were passed over.</summary>
/// <param name="Ignored">Hidden files, files of operating systems, and links.</param>
public sealed record DumpListing(string Root, ImmutableArray<MediaFile> Files, int Ignored)
{
    /// <summary>The dump's folder name.</summary>
    public string Name => Path.GetFileName(Root);
}
