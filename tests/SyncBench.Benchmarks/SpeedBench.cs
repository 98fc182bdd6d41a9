using System.Diagnostics;
using System.Globalization;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks;

/// <summary>
/// The whole run on the demo dump against ffmpeg merely decoding the same sound, two processes at once, interleaved in
/// one run; and the memory that our own process needs at most.
/// </summary>
internal static class SpeedBench
{
    private const int Rounds = 5;
    private const int AtOnce = 2;

    internal static async Task<int> RunAsync()
    {
        string folder = Path.Combine(Cache(), "syncbench-demo");
        (string dump, Truth truth) = await DemoDump.MakeAsync(folder, Console.Error.WriteLine);
        string[] withSound = [.. truth.Files.Where(f => f.SoundAlignedStartS is not null).Select(f => Path.Combine(dump, f.File))];
        string settings = Path.Combine(folder, DemoDump.Name + ".settings.json");
        var floor = new List<double>();
        var whole = new List<double>();
        long peak = 0;
        for (int round = 0; round < Rounds; round++)
        {
            floor.Add(await TimeAsync(() => DecodeAsync(withSound)));
            whole.Add(await TimeAsync(async () => peak = Math.Max(peak, await SyncAsync(dump, settings))));
        }

        double minutes = truth.Files.Where(f => f.SoundAlignedStartS is not null).Sum(f => f.DurationS ?? 0) / 60;
        CultureInfo plain = CultureInfo.InvariantCulture;
        Console.WriteLine(string.Create(plain, $"{minutes:0.0} min of files with sound in the demo dump, {Rounds} rounds, {Environment.ProcessorCount} cores"));
        Console.WriteLine(string.Create(plain, $"ffmpeg decodes alone, {AtOnce} at once   min {floor.Min():0.00} s   median {Median(floor):0.00} s"));
        Console.WriteLine(string.Create(plain, $"the whole run                     min {whole.Min():0.00} s   median {Median(whole):0.00} s"));
        Console.WriteLine(string.Create(plain, $"ratio                             min {whole.Min() / floor.Min():0.00}     median {Median(whole) / Median(floor):0.00}"));
        Console.WriteLine(string.Create(plain, $"resident at most, our process     {peak / 1024.0 / 1024.0:0} MB"));
        return 0;
    }

    private static string Cache() =>
        Environment.GetEnvironmentVariable("XDG_CACHE_HOME") is { Length: > 0 } cache
            ? cache
            : Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.UserProfile), ".cache");

    private static async Task<double> TimeAsync(Func<Task> work)
    {
        var clock = Stopwatch.StartNew();
        await work();
        return clock.Elapsed.TotalSeconds;
    }

    private static Task DecodeAsync(string[] files) => Parallel.ForEachAsync(
        files, new ParallelOptions { MaxDegreeOfParallelism = AtOnce }, async (file, stop) =>
        {
            using Process ffmpeg = Process.Start(
                "ffmpeg", ["-nostdin", "-v", "error", "-i", file, "-vn", "-f", "f32le", "-y", "/dev/null"]);
            await ffmpeg.WaitForExitAsync(stop);
        });

    /// <returns>The most memory that the process had resident, in bytes.</returns>
    private static async Task<long> SyncAsync(string dump, string settings)
    {
        string program = Path.Combine(
            AppContext.BaseDirectory, "../../../../../src/SyncBench.Worker/bin/Release/net10.0/SyncBench.Worker.dll");
        string output = Directory.CreateTempSubdirectory("syncbench-bench-").FullName;
        var start = new ProcessStartInfo("dotnet", [program, "run", dump, "--out", output, "--settings", settings])
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
        Directory.Delete(output, recursive: true);
        return peak;
    }

    private static double Median(List<double> values) => values.Order().ElementAt(values.Count / 2);
}
