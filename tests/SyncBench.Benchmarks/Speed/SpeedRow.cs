using System.Globalization;
using System.Text.RegularExpressions;
using CsvHelper;

namespace SyncBench.Benchmarks.Speed;

/// <summary>The program run on one dump beside ffmpeg merely decoding the same sound, in turns.</summary>
internal sealed partial class SpeedRow(string name, string dump, IReadOnlyList<string> sound, double minutes)
{
    private const int AtOnce = 2;

    private readonly List<Cost> _floor = [];
    private readonly List<Cost> _whole = [];
    private readonly List<Dictionary<string, (double Wall, double Processor)>> _stages = [];

    internal double Minutes => minutes;

    internal Cost Whole => _whole.MinBy(cost => cost.ProcessorSeconds)!;

    /// <param name="settings">The dump's settings; null for none.</param>
    /// <param name="truth">By file: its place on the recorder's clock, where it is known.</param>
    internal async Task MeasureAsync(int rounds, string? settings = null, IReadOnlyDictionary<string, double>? truth = null)
    {
        string output = Directory.CreateTempSubdirectory("syncbench-bench-").FullName;
        string[] arguments = ["run", dump, "--out", output, .. settings is null ? [] : new[] { "--settings", settings }];
        double worst = 0;
        int placed = 0;
        for (int round = 0; round < rounds; round++)
        {
            File.Delete(Path.Combine(output, "syncbench.log"));
            _floor.Add(await MeasuredProcess.RunAllAsync(
                "ffmpeg",
                sound.Select(file => (string[])["-nostdin", "-v", "error", "-i", file, "-vn", "-f", "f32le", "-y", "/dev/null"]),
                AtOnce));
            _whole.Add(await MeasuredProcess.RunAsync(SyncBenchProgram.Path, arguments, allowed: 3));
            _stages.Add(Stages(Path.Combine(output, "syncbench.log")));
            (placed, double error) = Placed(Path.Combine(output, "clips.csv"), truth);
            worst = Math.Max(worst, error);
        }

        Directory.Delete(output, recursive: true);
        Print(placed, worst, truth is not null);
    }

    private void Print(int placed, double worst, bool hasTruth)
    {
        Line($"{name}: {sound.Count} files with sound, {minutes:0.0} min, {_whole.Count} rounds");
        Line($"  ffmpeg decodes alone, {AtOnce} at once   wall min {_floor.Min(c => c.WallSeconds),7:0.00} s   median {Median(_floor, c => c.WallSeconds),7:0.00} s   processor min {_floor.Min(c => c.ProcessorSeconds),7:0.00} s   median {Median(_floor, c => c.ProcessorSeconds),7:0.00} s");
        Line($"  the whole run                     wall min {_whole.Min(c => c.WallSeconds),7:0.00} s   median {Median(_whole, c => c.WallSeconds),7:0.00} s   processor min {_whole.Min(c => c.ProcessorSeconds),7:0.00} s   median {Median(_whole, c => c.ProcessorSeconds),7:0.00} s");
        Line($"  ratio                             wall min {_whole.Min(c => c.WallSeconds) / _floor.Min(c => c.WallSeconds),7:0.00}     median {Median(_whole, c => c.WallSeconds) / Median(_floor, c => c.WallSeconds),7:0.00}     processor min {_whole.Min(c => c.ProcessorSeconds) / _floor.Min(c => c.ProcessorSeconds),7:0.00}     median {Median(_whole, c => c.ProcessorSeconds) / Median(_floor, c => c.ProcessorSeconds),7:0.00}");
        Cost least = Whole;
        Line($"  of the processor time             our process {least.OwnProcessorSeconds:0.00} s, its ffmpeg and ffprobe {least.ChildProcessorSeconds:0.00} s");
        Line($"  resident at most                  our process {_whole.Max(c => c.OwnPeakBytes) / 1e6:0} MB, its ffmpeg together {_whole.Max(c => c.ChildPeakBytes) / 1e6:0} MB");
        Dictionary<string, (double Wall, double Processor)> stages = _stages[_whole.IndexOf(least)];
        foreach ((string stage, (double wall, double processor)) in stages)
        {
            Line($"    {stage,-16} {wall,7:0.00} s, our processor time {processor,7:0.00} s");
        }

        Line($"  placed                            {placed} files{(hasTruth ? string.Create(CultureInfo.InvariantCulture, $", at most {worst * 1000:0.000} ms from the truth") : string.Empty)}");
    }

    private static void Line(FormattableString text) => Console.WriteLine(text.ToString(CultureInfo.InvariantCulture));

    private static double Median(List<Cost> costs, Func<Cost, double> of) => costs.Select(of).Order().ElementAt(costs.Count / 2);

    private static Dictionary<string, (double Wall, double Processor)> Stages(string log) =>
        File.ReadLines(log).Select(line => StageLine().Match(line)).Where(match => match.Success).ToDictionary(
            match => match.Groups["stage"].Value,
            match => (Number(match.Groups["wall"].Value), Number(match.Groups["processor"].Value)));

    /// <summary>How many files are placed, and the farthest from where it should be, in seconds.</summary>
    private static (int Placed, double Worst) Placed(string clips, IReadOnlyDictionary<string, double>? truth)
    {
        using CsvReader reader = CsvReader.FromFile(clips);
        var starts = reader.GetRecords<CsvDynamicRecord>()
            .Select(row => row.ToDictionary(cell => cell.Key, cell => cell.Value ?? string.Empty))
            .Where(row => row["outcome"] == "placed")
            .ToDictionary(row => row["file"], row => Number(row["start_s"]));
        string? recorder = truth?.Keys.FirstOrDefault();
        return truth is null || !starts.TryGetValue(recorder!, out double zero)
            ? (starts.Count, 0)
            : (starts.Count, starts.Max(start => Math.Abs(start.Value - zero - truth[start.Key])));
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    [GeneratedRegex(
        @"\] (?<stage>[A-Z][a-z ]+) took (?<wall>[\d.]+) s, our processor time (?<processor>[\d.]+) s",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex StageLine();
}
