using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using SyncBench.Benchmarks.Accuracy;

namespace SyncBench.Benchmarks;

/// <summary>
/// How well clips are placed, on rendered talks whose truth is exact: by length, noise, room and codec; and whether
/// clips that belong nowhere stay out. The talks are kept in the user's cache, so only the first run renders.
/// </summary>
internal static class AccuracyBench
{
    private const string Usage =
        "usage: accuracy [--quick] [--null COUNT] [--only-null] [--out FILE.json] [--compare OLD.json]";

    private static readonly JsonSerializerOptions Indented = new() { WriteIndented = true };

    internal static async Task<int> RunAsync(string[] options)
    {
        bool quick = false, onlyNull = false;
        int? unrelated = null;
        string? output = null, compare = null;
        for (int i = 0; i < options.Length; i++)
        {
            string? Value() => i + 1 < options.Length ? options[++i] : null;
            switch (options[i])
            {
                case "--quick":
                    quick = true;
                    break;
                case "--only-null":
                    onlyNull = true;
                    break;
                case "--null" when int.TryParse(Value(), NumberStyles.None, CultureInfo.InvariantCulture, out int count):
                    unrelated = count;
                    break;
                case "--out" when Value() is { } file:
                    output = file;
                    break;
                case "--compare" when Value() is { } file:
                    compare = file;
                    break;
                default:
                    await Console.Error.WriteLineAsync(Usage);
                    return 2;
            }
        }

        Report? older = compare is null ? null : JsonSerializer.Deserialize<Report>(await File.ReadAllTextAsync(compare));
        var clock = Stopwatch.StartNew();
        var renderer = new TalkRenderer(BenchCache.Folder);
        var talks = new List<Talk>();
        foreach (TalkPlan plan in Corpus.Plans(quick))
        {
            talks.Add(await renderer.TalkAsync(plan));
        }

        double rendered = clock.Elapsed.TotalSeconds;
        Trial[] trials =
        [
            .. onlyNull ? [] : Trials.Belonging(talks, quick),
            .. Trials.Foreign(talks, unrelated ?? (quick ? 20 : 200)),
        ];
        using var runner = new TrialRunner(renderer);
        Report report = Report.Of(runner.Run(trials), quick);
        ReportPrinter.Print(report, older, Console.Out);
        await Console.Error.WriteLineAsync(string.Create(
            CultureInfo.InvariantCulture,
            $"{trials.Length} trials; rendering {rendered:0} s, all {clock.Elapsed.TotalSeconds:0} s, processor {Environment.CpuUsage.TotalTime.TotalSeconds:0} s"));
        if (output is not null)
        {
            await File.WriteAllTextAsync(output, JsonSerializer.Serialize(report, Indented));
        }

        return 0;
    }
}
