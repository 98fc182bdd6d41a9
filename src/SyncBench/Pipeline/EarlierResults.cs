namespace SyncBench.Pipeline;

/// <summary>
/// What an earlier run over the same dump wrote into the output folder. A dialogue or a list of a take that no longer exists
/// would be taken for one of this run.
/// </summary>
internal sealed class EarlierResults
{
    private readonly OutputFolder _output;
    private readonly LastRun? _last;

    private EarlierResults(OutputFolder output, LastRun? last) => (_output, _last) = (output, last);

    /// <summary>To be called before the first file of this run is written.</summary>
    internal static EarlierResults In(OutputFolder output, string dumpName) => new(output, LastRun.Load(output.FullPath, dumpName));

    /// <summary>Removes what this run did not write again. A file that was changed since then is somebody's, and stays.</summary>
    internal void RemoveStale()
    {
        foreach (string name in (_last?.Results ?? []).Except(_output.Written, StringComparer.Ordinal))
        {
            string path = Path.GetFullPath(Path.Combine(_output.FullPath, name));
            if (path.StartsWith(_output.FullPath + Path.DirectorySeparatorChar, StringComparison.Ordinal)
                && File.Exists(path) && File.GetLastWriteTimeUtc(path) <= _last!.WrittenAt)
            {
                File.Delete(path);
            }
        }
    }
}
