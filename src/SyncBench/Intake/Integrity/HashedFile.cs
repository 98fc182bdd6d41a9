using System.Collections.Immutable;
using SyncBench.Media;

namespace SyncBench.Intake.Integrity;

/// <summary>The checksums of a file; exactly one of <see cref="Hashes"/> and <see cref="Problem"/> says something.</summary>
/// <param name="Problem">Why there are none, and what to do.</param>
/// <param name="IsGrowing">Whether it changed while it was read, so that the checksums are of no use.</param>
public sealed record HashedFile(MediaFile File, ImmutableArray<FileHash> Hashes, string? Problem, bool IsGrowing = false)
{
    public string? Value(HashKind kind) =>
        Hashes.Where(hash => hash.Kind == kind).Select(hash => hash.Value).FirstOrDefault();
}
