using System.Diagnostics;
using System.Globalization;
using SyncBench.Benchmarks.Accuracy;
using SyncBench.Benchmarks.Speed;

namespace SyncBench.Benchmarks;

/// <summary>
/// How well clips are placed, on rendered talks whose truth is exact: by length, noise, room and codec; and whether
/// clips that belong nowhere stay out. The talks are kept in the user's cache, so only the first run renders.
/// </summary>
internal static class AccuracyBench
{
    private const string Usage =
        "usage: accuracy [--quick] [--null COUNT] [--only-null] [--only KIND] [--out FILE.json] [--compare OLD.json] [--plot FILE.svg]";

    internal static async Task<int> RunAsync(string[] options)
    {
        BenchOptions? asked = BenchOptions.Parse(options, ["--quick", "--only-null"], ["--null", "--only", "--out", "--compare", "--plot"]);
        int unrelated = 0;
        if (asked is null
            || (asked.Value("--null") is { } count && !int.TryParse(count, NumberStyles.None, CultureInfo.InvariantCulture, out unrelated)))
        {
            await Console.Error.WriteLineAsync(Usage);
            return 2;
        }

        bool quick = asked.Has("--quick");
        unrelated = asked.Value("--null") is null ? quick ? 20 : 200 : unrelated;
        Report? older = await asked.OlderAsync<Report>();
        var clock = Stopwatch.StartNew();
        var renderer = new TalkRenderer(BenchCache.Folder);
        IReadOnlyList<TalkPlan> plans = Corpus.Plans(quick);
        string? only = asked.Value("--only");
        if (only == Trials.InFourHours || plans.Any(plan => plan.Kind == only))
        {
            plans = [.. plans.Where(plan => plan.Kind == only)]; // the others need not be rendered
            unrelated = 0;
        }

        Talk[] talks = await RenderAsync(renderer, plans);
        double rendered = clock.Elapsed.TotalSeconds;
        Trial[] trials =
        [
            .. asked.Has("--only-null") ? [] : Trials.Belonging(talks, quick),
            .. Trials.Foreign(talks, unrelated),
        ];
        trials = [.. trials.Where(trial => only is null || trial.Kind == only)];
        using var runner = new TrialRunner(renderer);
        bool isLongAsked = !quick && !asked.Has("--only-null") && only is null or Trials.InFourHours;
        IReadOnlyList<TrialResult> found = isLongAsked ? await new LongSearch(SpeedDumps.Cached).RunAsync() : [];
        Report report = Report.Of([.. runner.Run(trials), .. found], quick);
        ReportPrinter.Print(report, older, Console.Out);
        await Console.Error.WriteLineAsync(string.Create(
            CultureInfo.InvariantCulture,
            $"{trials.Length} trials; rendering {rendered:0} s, all {clock.Elapsed.TotalSeconds:0} s, processor {Environment.CpuUsage.TotalTime.TotalSeconds:0} s"));
        await asked.KeepAsync(report);
        if (asked.Value("--plot") is { } file)
        {
            await File.WriteAllTextAsync(file, ReliabilityPlot.Svg(report.Reliability));
        }

        return 0;
    }

    /// <summary>Talks of 20 minutes and more one at a time, for they take gigabytes; the others two at once.</summary>
    private static async Task<Talk[]> RenderAsync(TalkRenderer renderer, IReadOnlyList<TalkPlan> plans)
    {
        var talks = new Talk[plans.Count];
        foreach (IGrouping<bool, int> group in Enumerable.Range(0, talks.Length).GroupBy(i => plans[i].Seconds < 1200))
        {
            var options = new ParallelOptions { MaxDegreeOfParallelism = group.Key ? 2 : 1 };
            await Parallel.ForEachAsync(group, options, async (i, _) => talks[i] = await renderer.TalkAsync(plans[i]));
        }

        GC.Collect(GC.MaxGeneration, GCCollectionMode.Aggressive, blocking: true, compacting: true); // what follows needs the memory
        return talks;
    }
}
