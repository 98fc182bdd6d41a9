using SyncBench.Benchmarks.Speed;
using SyncBench.Intake;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks;

/// <summary>The demo dump, in the folder of scripts/demo.</summary>
internal sealed record SyncedDemo(string Folder, string Dump, Truth Truth)
{
    internal string Settings => Path.Combine(Folder, DemoDump.Name + ".settings.json");

    internal static async Task<SyncedDemo> MakeAsync()
    {
        string cache = Environment.GetEnvironmentVariable("XDG_CACHE_HOME") is { Length: > 0 } set
            ? set
            : Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.UserProfile), ".cache");
        string folder = Path.Combine(cache, "syncbench-demo");
        (string dump, Truth truth) = await DemoDump.MakeAsync(folder, Console.Error.WriteLine);
        return new SyncedDemo(folder, dump, truth);
    }

    /// <summary>The folder of its results: those of scripts/demo, made anew where they are of an earlier build or missing.</summary>
    internal async Task<string> ResultsAsync()
    {
        string results = Path.Combine(Folder, "results");
        DateTime built = File.GetLastWriteTimeUtc(typeof(DumpSettings).Assembly.Location);
        if (File.GetLastWriteTimeUtc(Path.Combine(results, "sync.json")) < built)
        {
            await MeasuredProcess.RunAsync(SyncBenchProgram.Path, ["run", Dump, "--out", results, "--settings", Settings], allowed: 3);
        }

        return results;
    }
}
