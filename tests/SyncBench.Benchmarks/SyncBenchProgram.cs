namespace SyncBench.Benchmarks;

/// <summary>The program as its users start it.</summary>
internal static class SyncBenchProgram
{
    internal static string Path { get; } =
        System.IO.Path.GetFullPath(System.IO.Path.Combine(AppContext.BaseDirectory, "../../../../../scripts/syncbench"));
}
