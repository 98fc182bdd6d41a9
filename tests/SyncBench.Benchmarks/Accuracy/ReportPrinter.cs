using System.Globalization;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>Writes a report as a Markdown table, beside an older one where there is one.</summary>
internal static class ReportPrinter
{
    internal static void Print(Report report, Report? older, TextWriter to)
    {
        to.WriteLine("| condition | scenes | placed | error p50 / p95 / max, ms | rate error p50 / p95 / max, ppm | false |");
        to.WriteLine("| --- | --- | --- | --- | --- | --- |");
        foreach (Row row in report.Rows)
        {
            Row? was = older?.Rows.FirstOrDefault(old => old.Condition == row.Condition);
            to.WriteLine($"| {row.Condition} | {row.Scenes} | {Beside(row, was, Placed)} | {Beside(row, was, Errors)} | {Beside(row, was, Rates)} | {Beside(row, was, False)} |");
        }

        to.WriteLine();
        to.WriteLine("| limit of the design | asked | measured | scenes | met |");
        to.WriteLine("| --- | --- | --- | --- | --- |");
        foreach (Limit limit in report.Limits)
        {
            to.WriteLine($"| {limit.What} | {limit.Asked} | {Number(limit.Measured, 3)} | {limit.Scenes} | {(limit.IsMet ? "yes" : "no")} |");
        }
    }

    private static string Beside(Row row, Row? was, Func<Row, string> cell) =>
        was is null ? cell(row) : $"{cell(was)} → {cell(row)}";

    private static string Placed(Row row) => string.Create(CultureInfo.InvariantCulture, $"{row.SharePlaced * 100:0.0} %");

    private static string Errors(Row row) =>
        row.MaxMs is null ? "" : $"{Number(row.P50Ms, 3)} / {Number(row.P95Ms, 3)} / {Number(row.MaxMs, 3)}";

    private static string Rates(Row row) =>
        row.MaxPpm is null ? "" : $"{Number(row.P50Ppm, 2)} / {Number(row.P95Ppm, 2)} / {Number(row.MaxPpm, 2)}";

    private static string False(Row row) => row.FalsePlacements.ToString(CultureInfo.InvariantCulture);

    private static string Number(double? value, int digits) =>
        value?.ToString("F" + digits.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture) ?? "";
}
