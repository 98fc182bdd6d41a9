using System.Collections.Immutable;
using System.Globalization;
using SyncBench.Media;

namespace SyncBench.Intake.Integrity;

/// <summary>What a file is when held against the manifests.</summary>
public enum FileCheck
{
    Verified,
    Changed,
    Missing,

    /// <summary>There, but in no manifest.</summary>
    Unknown,
    Unreadable,
}

/// <param name="Reason">What is wrong and what to do, as the end of a sentence; empty where verified.</param>
public sealed record CheckedFile(string Path, FileCheck Check, string Reason);

/// <summary>A dump held against all manifests that speak of it.</summary>
/// <param name="Files">Every file that is there or should be, in ordinal order of path.</param>
/// <param name="ManifestProblems">What is wrong with the manifests themselves, a sentence each.</param>
public sealed record DumpCheck(ImmutableArray<CheckedFile> Files, ImmutableArray<string> ManifestProblems, int Generations)
{
    public bool IsWhole => ManifestProblems.IsEmpty && Files.All(file => file.Check == FileCheck.Verified);

    /// <summary>Every file that a manifest may speak of: those that are hidden only where one does.</summary>
    public static ImmutableArray<MediaFile> FilesToRead(DumpListing listing, KnownHashes known) =>
        [.. listing.Files, .. listing.Hidden.Where(file => !known.Of(file.Path).IsEmpty)];

    /// <summary>The kinds that a file has to be read for, and one more.</summary>
    public static ImmutableArray<HashKind> KindsFor(MediaFile file, KnownHashes known, HashKind also) =>
        [.. known.Of(file.Path).Select(hash => hash.Hash.Kind).Append(also).Distinct()];

    /// <param name="hashed">Of <see cref="FilesToRead"/>.</param>
    public static DumpCheck Of(IReadOnlyCollection<MhlHistory> histories, KnownHashes known, IEnumerable<HashedFile> hashed)
    {
        var read = hashed.ToDictionary(file => file.File.Path, StringComparer.Ordinal);
        CheckedFile[] present =
        [
            .. read.Values.Where(file => !known.Of(file.File.Path).IsEmpty || known.Covers(file.File.Path))
                .Select(file => Present(file, known.Of(file.File.Path))),
        ];
        CheckedFile[] missing =
        [
            .. known.Paths.Where(path => !read.ContainsKey(path)).Select(path => new CheckedFile(
                path, FileCheck.Missing, "a manifest lists it, but it is not in the dump: copy it from the card")),
        ];
        return new DumpCheck(
            [.. present.Concat(missing).OrderBy(file => file.Path, StringComparer.Ordinal)],
            [.. histories.SelectMany(history => history.Problems)],
            histories.Sum(history => history.Generations.Length));
    }

    private static CheckedFile Present(HashedFile file, ImmutableArray<KnownHashes.Known> known)
    {
        if (file.Problem is { } problem)
        {
            return new CheckedFile(file.File.Path, FileCheck.Unreadable, problem);
        }

        if (known.IsEmpty)
        {
            return new CheckedFile(
                file.File.Path, FileCheck.Unknown, "no manifest lists it: see whether it belongs in the dump, and whether it was copied later than the rest");
        }

        foreach (KnownHashes.Known hash in known)
        {
            if (file.Value(hash.Hash.Kind) != hash.Hash.Value)
            {
                return new CheckedFile(
                    file.File.Path, FileCheck.Changed,
                    $"it is not what the manifest says ({Difference(file, hash)}): copy it again from the card and keep both until you know which is right");
            }
        }

        return new CheckedFile(file.File.Path, FileCheck.Verified, string.Empty);
    }

    private static string Difference(HashedFile file, KnownHashes.Known known) =>
        known.Bytes is { } bytes && bytes != file.File.Bytes
            ? string.Create(CultureInfo.InvariantCulture, $"{file.File.Bytes:N0} bytes, not {bytes:N0}")
            : $"another {known.Hash.Kind.InMhl()} checksum than in generation {known.Generation.ToString(CultureInfo.InvariantCulture)}";
}
