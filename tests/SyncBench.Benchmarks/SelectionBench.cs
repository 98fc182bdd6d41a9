using System.Diagnostics;
using System.Globalization;
using SyncBench.Benchmarks.Selection;

namespace SyncBench.Benchmarks;

/// <summary>
/// How well faults of mics are found and how well the mic is chosen, on rendered takes whose truth is known. Thresholds are
/// set on one part of the corpus (--tuning); what is reported comes from the other, held out.
/// </summary>
internal static class SelectionBench
{
    private const string Usage = "usage: selection [--quick] [--tuning] [--list] [--out FILE.json] [--compare OLD.json]";

    /// <summary>Each takes half a gigabyte.</summary>
    private const int TalksAtOnce = 2;

    internal static async Task<int> RunAsync(string[] options)
    {
        if (BenchOptions.Parse(options, ["--quick", "--tuning", "--list"], ["--out", "--compare"]) is not { } asked)
        {
            await Console.Error.WriteLineAsync(Usage);
            return 2;
        }

        bool quick = asked.Has("--quick"), tuning = asked.Has("--tuning");
        SelectionReport? older = await asked.OlderAsync<SelectionReport>();
        var clock = Stopwatch.StartNew();
        BasePlan[] plans = [.. SelectionCorpus.Bases(!tuning, quick)];
        var talks = new TalkTrials[plans.Length];
        await Parallel.ForAsync(
            0, plans.Length, new ParallelOptions { MaxDegreeOfParallelism = TalksAtOnce },
            async (talk, _) => talks[talk] = await TalkTrials.RunAsync(plans[talk], quick));
        FaultScore[] scores = [.. talks.SelectMany(talk => talk.Scores)];
        ChoiceTrials choices = ChoiceTrials.Together(talks.Select(talk => talk.Choices));
        RoomTrials rooms = RoomTrials.Together(talks.Select(talk => talk.Rooms));
        DetectorRow[] rows = [.. SelectionReport.Rows(scores)];
        var report = new SelectionReport(
            DateTime.UtcNow.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture), quick, !tuning, [.. rows, rooms.Row()],
            [.. SelectionReport.Required(rows), .. choices.Required(), rooms.Required()]);
        SelectionPrinter.Print(report, older, Console.Out);
        if (asked.Has("--list"))
        {
            List(scores);
            choices.List(Console.Out);
        }

        await Console.Error.WriteLineAsync(string.Create(
            CultureInfo.InvariantCulture, $"{clock.Elapsed.TotalSeconds:0} s, processor {Environment.CpuUsage.TotalTime.TotalSeconds:0} s"));
        await asked.KeepAsync(report);
        return 0;
    }

    /// <summary>What was missed, what was found where nothing is, and edges that are far off.</summary>
    private static void List(IReadOnlyList<FaultScore> scores)
    {
        CultureInfo plain = CultureInfo.InvariantCulture;
        foreach (TrueFault fault in scores.SelectMany(score => score.True).Where(fault => fault.Fault.Seconds >= 1))
        {
            string what = string.Create(
                plain, $"{fault.Scene} {fault.Mic} {fault.Fault.Kind} way {fault.Fault.Way} {fault.Fault.Strength} {fault.Fault.From:0.00}-{fault.Fault.To:0.00}");
            if (!fault.IsFound)
            {
                Console.WriteLine(string.Create(plain, $"missed  {what}, {fault.Covered:0.00} of it covered"));
            }
            else if (Math.Abs(fault.StartErrorMs!.Value) > 100 || Math.Abs(fault.EndErrorMs!.Value) > 100)
            {
                Console.WriteLine(string.Create(plain, $"edges   {what}: {fault.StartErrorMs:0} ms, {fault.EndErrorMs:0} ms"));
            }
        }

        foreach (FoundFault fault in scores.SelectMany(score => score.Found).Where(fault => !fault.IsTrue))
        {
            string there = string.Join(", ", scores.SelectMany(score => score.True)
                .Where(t => t.Scene == fault.Scene && t.Fault.From < fault.To && t.Fault.To > fault.From)
                .Select(t => $"{t.Fault.Strength} {t.Fault.Kind} on {t.Mic}"));
            Console.WriteLine(string.Create(plain, $"untrue  {fault.Scene} {fault.Mic} {fault.Kind} {fault.From:0.00}-{fault.To:0.00}, there is {there}"));
        }
    }
}
