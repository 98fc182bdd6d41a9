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
        SyncedDemo demo = await SyncedDemo.MakeAsync();
        TrueFile[] withSound = [.. demo.Truth.Files.Where(file => file.SoundAlignedStartS is not null)];
        string[] paths = [.. withSound.Select(file => Path.Combine(demo.Dump, file.File))];
        string output = Directory.CreateTempSubdirectory("syncbench-bench-").FullName;
        var floor = new List<double>();
        var whole = new List<double>();
        long peak = 0;
        for (int round = 0; round < Rounds; round++)
        {
            floor.Add(await TimeAsync(() => DecodeAsync(paths)));
            whole.Add(await TimeAsync(async () => peak = Math.Max(peak, await demo.SyncAsync(output))));
        }

        Directory.Delete(output, recursive: true);
        double minutes = withSound.Sum(file => file.DurationS ?? 0) / 60;
        CultureInfo plain = CultureInfo.InvariantCulture;
        Console.WriteLine(string.Create(plain, $"{minutes:0.0} min of files with sound in the demo dump, {Rounds} rounds, {Environment.ProcessorCount} cores"));
        Console.WriteLine(string.Create(plain, $"ffmpeg decodes alone, {AtOnce} at once   min {floor.Min():0.00} s   median {Median(floor):0.00} s"));
        Console.WriteLine(string.Create(plain, $"the whole run                     min {whole.Min():0.00} s   median {Median(whole):0.00} s"));
        Console.WriteLine(string.Create(plain, $"ratio                             min {whole.Min() / floor.Min():0.00}     median {Median(whole) / Median(floor):0.00}"));
        Console.WriteLine(string.Create(plain, $"resident at most, our process     {peak / 1024.0 / 1024.0:0} MB"));
        return 0;
    }

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

    private static double Median(List<double> values) => values.Order().ElementAt(values.Count / 2);
}
