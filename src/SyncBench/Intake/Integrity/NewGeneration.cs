using System.Collections.Immutable;
using System.Reflection;

namespace SyncBench.Intake.Integrity;

/// <summary>The manifest of a dump as it is now.</summary>
public static class NewGeneration
{
    /// <param name="kind">The checksum that every file and folder gets; a file that is known by others keeps those too.</param>
    /// <param name="hashed">Files that could not be read are left out: nothing is known of them.</param>
    /// <param name="began">When the reading began.</param>
    public static MhlManifest Of(HashKind kind, KnownHashes known, IEnumerable<HashedFile> hashed, DateTimeOffset began)
    {
        HashedFile[] readable = [.. hashed.Where(file => file.Problem is null)];
        ImmutableArray<MhlFolder> folders = FolderHashes.Of(
            kind, readable.Select(file => (file.File.Path, new FileHash(kind, file.Value(kind)!))));
        return new MhlManifest(
            began,
            Environment.MachineName,
            "SyncBench",
            typeof(NewGeneration).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion ?? "1.0",
            IgnorePatterns.Usual,
            readable.Length == 0 ? null : folders[0],
            [.. readable.Select(file => File(file, known.Of(file.File.Path)))],
            [.. folders.Where(folder => folder.Path.Length > 0)]);
    }

    private static MhlFile File(HashedFile file, ImmutableArray<KnownHashes.Known> known)
    {
        bool changed = known.Any(earlier => file.Value(earlier.Hash.Kind) != earlier.Hash.Value);
        MhlAction Action(FileHash hash) =>
            known.IsEmpty ? MhlAction.Original
            : !changed ? MhlAction.Verified
            : MhlAction.Failed;
        return new MhlFile(
            file.File.Path,
            file.File.Bytes,
            new DateTimeOffset(System.IO.File.GetLastWriteTimeUtc(file.File.FullPath)),
            [.. file.Hashes.Select(hash => new MhlHash(hash, Action(hash)))]);
    }
}
