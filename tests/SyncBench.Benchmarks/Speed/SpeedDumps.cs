using System.Globalization;
using System.Text.Json;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Speed;

/// <summary>A dump in the cache.</summary>
/// <param name="Folder">The dump itself.</param>
/// <param name="StartSeconds">Of each file: its true place on the recorder's clock.</param>
internal sealed record SpeedDump(string Folder, double Minutes, IReadOnlyDictionary<string, double> StartSeconds)
{
    internal IEnumerable<string> Paths => StartSeconds.Keys.Select(file => Path.Combine(Folder, file));
}

/// <summary>Dumps of all lengths, made once and kept outside the repository.</summary>
internal sealed class SpeedDumps(string cache)
{
    private const int Version = 1;
    private const double ClipSeconds = 60;
    private const int ClipCount = 60;

    internal static SpeedDumps Cached { get; } = new(Path.Combine(BenchCache.Folder, "speed"));

    internal Task<SpeedDump> ShortAsync() => PlannedAsync(DumpPlan.Of("10s", 10, 71));

    internal Task<SpeedDump> TenMinutesAsync() => PlannedAsync(DumpPlan.Of("10min", 600, 72));

    internal Task<SpeedDump> HoursAsync(int hours) => PlannedAsync(Hours(hours));

    /// <summary>The dump of that length with a second recorder.</summary>
    internal Task<SpeedDump> FourSourcesAsync() => PlannedAsync(DumpPlan.Of("4h-4sources", 4 * 3600, 76, fourSources: true));

    /// <summary>A recorder of four hours and 60 camera clips of a minute each.</summary>
    internal async Task<SpeedDump> ClipsAsync()
    {
        DumpPlan plan = Hours(4);
        SpeedDump whole = await PlannedAsync(plan);
        return await CachedAsync("4h-60clips", plan.Seconds / 60, async folder =>
        {
            DevicePlan recorder = plan.Devices[0], camera = plan.Devices[1];
            Directory.CreateDirectory(Path.Combine(folder, "RECORDER"));
            Directory.CreateDirectory(Path.Combine(folder, "CAM_A"));
            await ExternalTool.RunAsync(
                "ln", ["--", Path.Combine(whole.Folder, recorder.File), Path.Combine(folder, recorder.File)], feed: null, CancellationToken.None);
            var starts = new Dictionary<string, double> { [recorder.File] = 0 };
            double rate = new DeviceClock(camera.Ppm).TrueSeconds / new DeviceClock(recorder.Ppm).TrueSeconds;
            for (int i = 0; i < ClipCount; i++)
            {
                double from = 7 + (i * (plan.Seconds - 90) / ClipCount);
                string file = $"CAM_A/A001C{i + 1:000}.MP4";
                await ExternalTool.RunAsync(
                    "ffmpeg",
                    ["-v", "error", "-y", "-ss", from.ToString(CultureInfo.InvariantCulture), "-i", Path.Combine(whole.Folder, camera.File),
                        "-t", ClipSeconds.ToString(CultureInfo.InvariantCulture), "-c:v", "libx264", "-preset", "ultrafast",
                        "-c:a", "aac", "-b:a", "128k", Path.Combine(folder, file)],
                    feed: null, CancellationToken.None);
                starts[file] = DumpPlan.StartOnRecorder(camera) + (from * rate);
            }

            return starts;
        });
    }

    internal static DumpPlan Hours(int hours) => DumpPlan.Of($"{hours}h", hours * 3600, 72 + (ulong)hours);

    private Task<SpeedDump> PlannedAsync(DumpPlan plan) => CachedAsync(plan.Name, plan.Seconds / 60, async folder =>
    {
        await new DumpRenderer(plan, folder).RenderAsync();
        return plan.Devices.ToDictionary(device => device.File, DumpPlan.StartOnRecorder);
    });

    private async Task<SpeedDump> CachedAsync(
        string name, double minutes, Func<string, Task<Dictionary<string, double>>> make)
    {
        string folder = Path.Combine(cache, $"{name}-{Version}"), dump = Path.Combine(folder, DemoDump.Name);
        string truth = Path.Combine(folder, "truth.json");
        if (!File.Exists(truth))
        {
            Console.Error.WriteLine($"making the dump {name}");
            if (Directory.Exists(dump))
            {
                Directory.Delete(dump, recursive: true);
            }

            Directory.CreateDirectory(dump);
            Dictionary<string, double> made = await make(dump);
            await File.WriteAllTextAsync(truth, JsonSerializer.Serialize(made)); // last: its presence says all is there
        }

        Dictionary<string, double> starts =
            JsonSerializer.Deserialize<Dictionary<string, double>>(await File.ReadAllTextAsync(truth))!;
        return new SpeedDump(dump, minutes, starts);
    }
}
