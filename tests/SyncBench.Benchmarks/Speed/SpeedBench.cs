using System.Globalization;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Speed;

/// <summary>
/// How fast the whole run is, on dumps from ten seconds to eight hours, against ffmpeg merely decoding the same sound;
/// how its cost grows, what memory it takes, how long starting takes, and how it compares with plain correlation.
/// </summary>
internal static class SpeedBench
{
    private const string Usage = "usage: speed [--quick | PART...]   parts: start demo 10s 10min 1h 4h 8h 4sources clips correlate";

    private static readonly string[] Quick = ["start", "demo", "10s", "10min"];
    private static readonly string[] All = [.. Quick, "1h", "4h", "8h", "4sources", "clips", "correlate"];

    internal static async Task<int> RunAsync(string[] options)
    {
        string[] parts = options switch
        {
            [] => All,
            ["--quick"] => Quick,
            _ => options,
        };
        if (parts.Except(All).Any())
        {
            await Console.Error.WriteLineAsync(Usage);
            return 2;
        }

        SpeedDumps dumps = SpeedDumps.Cached;
        Console.WriteLine($"{Environment.ProcessorCount} cores");
        var hours = new List<(int Hours, SpeedRow Row)>();
        foreach (string part in parts)
        {
            switch (part)
            {
                case "start":
                    await StartAsync();
                    break;
                case "demo":
                    await DemoAsync();
                    break;
                case "10s":
                    await MeasureAsync("10 s, three sources", await dumps.ShortAsync(), rounds: 7);
                    break;
                case "10min":
                    await MeasureAsync("10 min, three sources", await dumps.TenMinutesAsync(), rounds: 5);
                    break;
                case "1h" or "4h" or "8h":
                    int length = part[0] - '0';
                    hours.Add((length, await MeasureAsync(
                        $"{length} h, three sources", await dumps.HoursAsync(length), rounds: length == 1 ? 5 : 2)));
                    break;
                case "4sources":
                    await MeasureAsync("4 h, four sources", await dumps.FourSourcesAsync(), rounds: 1);
                    break;
                case "clips":
                    await MeasureAsync("4 h recorder and 60 clips of a minute", await dumps.ClipsAsync(), rounds: 1);
                    break;
                default:
                    await CorrelationPeer.MeasureAsync(await dumps.HoursAsync(1));
                    break;
            }
        }

        Growth(hours);
        return 0;
    }

    private static async Task StartAsync()
    {
        var costs = new List<Cost>();
        for (int round = 0; round < 10; round++)
        {
            costs.Add(await MeasuredProcess.RunAsync(SyncBenchProgram.Path, ["--help"]));
        }

        double[] wall = [.. costs.Select(cost => cost.WallSeconds).Order()];
        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"scripts/syncbench --help: min {wall[0]:0.000} s, median {wall[wall.Length / 2]:0.000} s, processor min {costs.Min(cost => cost.ProcessorSeconds):0.000} s"));
    }

    private static async Task DemoAsync()
    {
        SyncedDemo demo = await SyncedDemo.MakeAsync();
        TrueFile[] sound = [.. demo.Truth.Files.Where(file => file.SoundAlignedStartS is not null)];
        var row = new SpeedRow(
            "demo dump", demo.Dump, [.. sound.Select(file => Path.Combine(demo.Dump, file.File))], sound.Sum(file => file.DurationS ?? 0) / 60);
        await row.MeasureAsync(rounds: 5, demo.Settings);
    }

    private static async Task<SpeedRow> MeasureAsync(string name, SpeedDump dump, int rounds)
    {
        var row = new SpeedRow(name, dump.Folder, [.. dump.Paths], dump.Minutes);
        await row.MeasureAsync(rounds, settings: null, dump.StartSeconds);
        return row;
    }

    private static void Growth(List<(int Hours, SpeedRow Row)> hours)
    {
        foreach ((int length, SpeedRow row) in hours.Skip(1))
        {
            (int first, SpeedRow one) = hours[0];
            double wall = row.Whole.WallSeconds / length / (one.Whole.WallSeconds / first);
            double processor = row.Whole.ProcessorSeconds / length / (one.Whole.ProcessorSeconds / first);
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"cost an hour of sound, {length} h against {first} h: wall {wall:0.00}, processor {processor:0.00}"));
        }
    }
}
