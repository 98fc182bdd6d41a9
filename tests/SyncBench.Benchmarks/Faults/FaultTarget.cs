namespace SyncBench.Benchmarks.Faults;

/// <summary>Something that reads files which are not trusted.</summary>
/// <param name="Ending">Of the file that it reads.</param>
/// <param name="Seeds">Whole files, to be damaged.</param>
/// <param name="Read">Given bytes and a file that holds them; returns what it says is wrong, null where it says nothing.</param>
/// <param name="Share">Of all inputs, against the others.</param>
internal sealed record FaultTarget(
    string Name, string Ending, byte[][] Seeds, Func<byte[], string, Task<string?>> Read, double Share)
{
    /// <summary>A file of a few kilobytes must not take longer, even on a busy machine.</summary>
    internal TimeSpan Limit { get; init; } = TimeSpan.FromSeconds(5);

    /// <summary>Whether it looks at the file, not at the bytes.</summary>
    internal bool NeedsFile { get; init; }
}
