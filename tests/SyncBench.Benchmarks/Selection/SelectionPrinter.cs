namespace SyncBench.Benchmarks.Selection;

/// <summary>Writes a report as Markdown tables, beside an older one where there is one.</summary>
internal static class SelectionPrinter
{
    internal static void Print(SelectionReport report, SelectionReport? older, TextWriter to)
    {
        to.WriteLine(report.HeldOut ? "Held-out part of the corpus" : "Tuning part of the corpus");
        to.WriteLine();
        to.WriteLine("| fault | put in | found | finds | of these true | start p50 / p95, ms | end p50 / p95, ms |");
        to.WriteLine("| --- | --- | --- | --- | --- | --- | --- |");
        foreach (DetectorRow row in report.Detectors)
        {
            DetectorRow? was = older?.Detectors.FirstOrDefault(old => old.Fault == row.Fault);
            to.WriteLine($"| {row.Fault} | {row.Injected} | {Beside(row, was, r => SelectionReport.Percent(r.Recall))} | {row.Found} | {Beside(row, was, r => SelectionReport.Percent(r.Precision))} | {Beside(row, was, r => Pair(r.StartP50Ms, r.StartP95Ms))} | {Beside(row, was, r => Pair(r.EndP50Ms, r.EndP95Ms))} |");
        }

        to.WriteLine();
        to.WriteLine("| required | asked | measured | cases | met |");
        to.WriteLine("| --- | --- | --- | --- | --- |");
        foreach (Requirement row in report.Requirements)
        {
            Requirement? was = older?.Requirements.FirstOrDefault(old => old.What == row.What);
            to.WriteLine($"| {row.What} | {row.Asked} | {(was is null ? "" : was.Measured + " → ")}{row.Measured} | {row.Cases} | {(row.IsMet ? "yes" : "no")} |");
        }
    }

    private static string Beside(DetectorRow row, DetectorRow? was, Func<DetectorRow, string> cell) =>
        was is null ? cell(row) : $"{cell(was)} → {cell(row)}";

    private static string Pair(double? p50, double? p95) =>
        p50 is null ? "" : $"{SelectionReport.Milliseconds(p50)} / {SelectionReport.Milliseconds(p95)}";
}
