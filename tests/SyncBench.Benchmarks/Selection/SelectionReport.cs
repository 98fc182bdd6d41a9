using System.Globalization;
using SyncBench.Selection;

namespace SyncBench.Benchmarks.Selection;

/// <summary>One line of the table of detectors.</summary>
/// <param name="Injected">Faults of a second or more that were put in.</param>
/// <param name="Found">Stretches that were found.</param>
/// <param name="StartP50Ms">Of the absolute error of the beginnings of the faults that were found.</param>
internal sealed record DetectorRow(
    string Fault, int Injected, double? Recall, int Found, double? Precision,
    double? StartP50Ms, double? StartP95Ms, double? EndP50Ms, double? EndP95Ms);

/// <summary>A requirement and what was measured against it.</summary>
internal sealed record Requirement(string What, string Asked, string Measured, int Cases, bool IsMet);

/// <summary>What is printed and kept.</summary>
internal sealed record SelectionReport(
    string Date, bool Quick, bool HeldOut, IReadOnlyList<DetectorRow> Detectors, IReadOnlyList<Requirement> Requirements)
{
    private const double Shortest = 1;

    internal static IEnumerable<DetectorRow> Rows(IReadOnlyList<FaultScore> scores)
    {
        TrueFault[] injected = [.. scores.SelectMany(score => score.True).Where(fault => fault.Fault.Seconds >= Shortest)];
        FoundFault[] found = [.. scores.SelectMany(score => score.Found)];
        foreach (FaultKind kind in injected.Select(fault => fault.Fault.Kind).Concat(found.Select(fault => fault.Kind)).Distinct().Order())
        {
            TrueFault[] here = [.. injected.Where(fault => fault.Fault.Kind == kind)];
            yield return Row(kind.InWords(), here, [.. found.Where(fault => fault.Kind == kind)]);
        }

        TrueFault[] slow = [.. injected.Where(fault => fault.Fault.NoticedFrom < fault.Fault.From || fault.Fault.NoticedTo > fault.Fault.To)];
        yield return Row(
            "gain pumping, to where it is plainly heard", slow, null,
            slow.Select(fault => fault.PlainStartErrorMs), slow.Select(fault => fault.PlainEndErrorMs));

        foreach (Strength strength in Enum.GetValues<Strength>())
        {
            TrueFault[] here = [.. injected.Where(fault => fault.Fault.Strength == strength)];
            yield return Row($"all, {strength.ToString().ToLowerInvariant()}", here, null);
        }

        yield return Row("all", injected, found);
    }

    private static DetectorRow Row(string name, TrueFault[] injected, FoundFault[]? found) =>
        Row(name, injected, found, injected.Select(fault => fault.StartErrorMs), injected.Select(fault => fault.EndErrorMs));

    private static DetectorRow Row(string name, TrueFault[] injected, FoundFault[]? found, IEnumerable<double?> startsMs, IEnumerable<double?> endsMs)
    {
        double[] starts = Sorted(startsMs), ends = Sorted(endsMs);
        return new DetectorRow(
            name, injected.Length, Share(injected.Count(fault => fault.IsFound), injected.Length),
            found?.Length ?? 0, found is null ? null : Share(found.Count(fault => fault.IsTrue), found.Length),
            At(starts, 0.5), At(starts, 0.95), At(ends, 0.5), At(ends, 0.95));
    }

    internal static IEnumerable<Requirement> Required(IReadOnlyList<DetectorRow> rows)
    {
        DetectorRow all = rows.Single(row => row.Fault == "all");
        yield return new(
            "faults of a second or more found", ">= 95 %", Percent(all.Recall), all.Injected, all.Recall >= 0.95);
        yield return new("finds that are true", ">= 95 %", Percent(all.Precision), all.Found, all.Precision >= 0.95);
        double? worst = all.StartP95Ms > all.EndP95Ms ? all.StartP95Ms : all.EndP95Ms;
        yield return new("p95 of the edges of what was found", "<= 100 ms", $"{Milliseconds(worst)} ms", all.Injected, worst <= 100);
    }

    internal static string Percent(double? share) =>
        share is { } value ? string.Create(CultureInfo.InvariantCulture, $"{value * 100:0.0} %") : "";

    internal static string Milliseconds(double? ms) => ms?.ToString("0", CultureInfo.InvariantCulture) ?? "";

    private static double? Share(int part, int all) => all == 0 ? null : (double)part / all;

    private static double[] Sorted(IEnumerable<double?> values) => [.. values.OfType<double>().Select(Math.Abs).Order()];

    /// <summary>Nearest rank.</summary>
    private static double? At(double[] sorted, double share) =>
        sorted.Length == 0 ? null : sorted[Math.Max(0, (int)Math.Ceiling(share * sorted.Length) - 1)];
}
