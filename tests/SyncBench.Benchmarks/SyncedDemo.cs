using System.Diagnostics;
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

    /// <returns>The most memory that the process had resident, in bytes.</returns>
    internal async Task<long> SyncAsync(string output)
    {
        string program = Path.Combine(
            AppContext.BaseDirectory, "../../../../../src/SyncBench.Worker/bin/Release/net10.0/SyncBench.Worker.dll");
        var start = new ProcessStartInfo("dotnet", [program, "run", Dump, "--out", output, "--settings", Settings])
        {
            RedirectStandardOutput = true,
            UseShellExecute = false,
        };
        using Process run = Process.Start(start)!;
        Task<string> words = run.StandardOutput.ReadToEndAsync();
        long peak = 0;
        while (!run.HasExited)
        {
            run.Refresh();
            peak = Math.Max(peak, run.HasExited ? 0 : run.PeakWorkingSet64);
            await Task.Delay(10);
        }

        await words;
        return peak;
    }
}
