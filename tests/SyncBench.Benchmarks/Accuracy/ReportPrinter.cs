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

        PrintCertainty(report, to);
    }

    private static void PrintCertainty(Report report, TextWriter to)
    {
        to.WriteLine();
        to.WriteLine("| certainty claimed | guesses | right | share right | 95 % interval |");
        to.WriteLine("| --- | --- | --- | --- | --- |");
        foreach (ReliabilityBin bin in report.Reliability)
        {
            to.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"| {bin.From * 100:0.####} to {bin.To * 100:0.####} % | {bin.Guesses} | {bin.Right} | {bin.ShareRight * 100:0.00} % | {bin.LeastShare * 100:0.00} to {bin.MostShare * 100:0.00} % |"));
        }

        to.WriteLine();
        to.WriteLine("| standard error claimed | placed | claimed p50 / p95, ms | error within 2 of it | within 3 of it |");
        to.WriteLine("| --- | --- | --- | --- | --- |");
        foreach (ClaimedError row in report.ClaimedErrors)
        {
            to.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"| {row.Condition} | {row.Placed} | {row.P50Ms:0.000} / {row.P95Ms:0.000} | {row.WithinTwo * 100:0.0} % | {row.WithinThree * 100:0.0} % |"));
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
