namespace SyncBench.Pipeline;

/// <summary>The stages of a run, in order.</summary>
public enum Stage
{
    List,
    Probe,
    ReadSound,
    Align,
    ChooseMics,
    RenderDialogue,
    Write,

    /// <summary>Beside all others.</summary>
    Checksums,
}

/// <summary>How far a run is.</summary>
/// <param name="Item">The file or pair it is busy with; empty where there is nothing to name.</param>
/// <param name="Share">Of the stage, 0 to 1.</param>
public sealed record StageProgress(Stage Stage, string Item, double Share)
{
    /// <summary>Of the dump, where the stage reads it whole; else 0.</summary>
    public long BytesDone { get; init; }

    /// <summary>All that it has to read; else 0.</summary>
    public long BytesAll { get; init; }
}
