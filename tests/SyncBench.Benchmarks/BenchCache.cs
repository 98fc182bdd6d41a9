namespace SyncBench.Benchmarks;

/// <summary>Where renderings are kept between runs: in the cache of the user, outside the repository.</summary>
internal static class BenchCache
{
    internal static string Folder => Path.Combine(
        Environment.GetEnvironmentVariable("XDG_CACHE_HOME") is { Length: > 0 } cache
            ? cache
            : Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.UserProfile), ".cache"),
        "syncbench-bench");
}
