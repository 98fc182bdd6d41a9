namespace SyncBench.Benchmarks;

/// <summary>The program as scripts/bench has built it.</summary>
internal static class SyncBenchProgram
{
    internal static string Path { get; } = System.IO.Path.Combine(
        AppContext.BaseDirectory, "../../../../../src/SyncBench.Worker/bin/Release/net10.0/SyncBench.Worker.dll");
}
