using System.Collections.Immutable;

namespace SyncBench.Intake.Integrity;

/// <summary>What a checksum in a manifest says of the file at that time.</summary>
public enum MhlAction
{
    /// <summary>Taken for the first time.</summary>
    Original,

    /// <summary>The same as before.</summary>
    Verified,

    /// <summary>Another than before: never used to verify by.</summary>
    Failed,
}

public sealed record MhlHash(FileHash Hash, MhlAction Action);

/// <summary>A file in a manifest.</summary>
/// <param name="Path">Relative to the folder that holds "ascmhl", with '/' between its parts.</param>
/// <param name="PreviousPath">Where an earlier generation knew it.</param>
public sealed record MhlFile(
    string Path, long? Bytes, DateTimeOffset? LastModified, ImmutableArray<MhlHash> Hashes, string? PreviousPath = null);

/// <summary>A folder in a manifest: what its files hold, and how they and their names are arranged.</summary>
public sealed record MhlFolder(string Path, FileHash Content, FileHash Structure);

/// <summary>One generation: one ASC MHL manifest (ASC MHL specification 1.0, XML version 2.0).</summary>
/// <param name="Ignore">Patterns of names that it leaves out, in the syntax of gitignore.</param>
/// <param name="Root">The checksums of the whole; null where it has none.</param>
public sealed record MhlManifest(
    DateTimeOffset CreatedAt,
    string HostName,
    string Tool,
    string ToolVersion,
    ImmutableArray<string> Ignore,
    MhlFolder? Root,
    ImmutableArray<MhlFile> Files,
    ImmutableArray<MhlFolder> Folders);
