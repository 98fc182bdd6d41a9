namespace SyncBench.Intake;

/// <summary>What can be wrong with a dump as a whole, the most urgent first.</summary>
public enum FindingKind
{
    /// <summary>Changed, missing or unknown, by a manifest.</summary>
    NotAsInManifest,

    /// <summary>Gone, shrunk or changed since the last run.</summary>
    NotAsInLastRun,

    /// <summary>Still being copied or recorded.</summary>
    StillWritten,

    /// <summary>A folder that may not be read, a link, a pipe, a device.</summary>
    NotRead,

    /// <summary>A manifest or chain that cannot be believed.</summary>
    Manifest,

    /// <summary>A hole in a device's numbering.</summary>
    MissingNumber,

    GrewSinceLastRun,
}

/// <summary>Something about a dump as a whole that somebody should know.</summary>
/// <param name="Path">File or folder, relative to the dump.</param>
/// <param name="Problem">What is wrong and what to do, as the end of a sentence.</param>
public sealed record IntakeFinding(FindingKind Kind, string Path, string Problem)
{
    /// <summary>Whether something may be lost unless a person acts; the other kinds are for information.</summary>
    public bool NeedsAPerson => Kind <= FindingKind.Manifest;
}
