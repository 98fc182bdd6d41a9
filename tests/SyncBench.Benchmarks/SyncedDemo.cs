using SyncBench.Benchmarks.Speed;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks;

/// <summary>The demo dump, in the folder of scripts/demo, and the program run on it.</summary>
internal sealed record SyncedDemo(string Dump, Truth Truth, string Settings)
{
    internal static async Task<SyncedDemo> MakeAsync()
    {
        string cache = Environment.GetEnvironmentVariable("XDG_CACHE_HOME") is { Length: > 0 } set
            ? set
            : Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.UserProfile), ".cache");
        string folder = Path.Combine(cache, "syncbench-demo");
        (string dump, Truth truth) = await DemoDump.MakeAsync(folder, Console.Error.WriteLine);
        return new SyncedDemo(dump, truth, Path.Combine(folder, DemoDump.Name + ".settings.json"));
    }

    internal async Task SyncAsync(string output) => await MeasuredProcess.RunAsync(
        SyncBenchProgram.Path, ["run", Dump, "--out", output, "--settings", Settings], allowed: 3);
}
