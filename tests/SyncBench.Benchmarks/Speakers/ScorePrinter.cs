using System.Globalization;

namespace SyncBench.Benchmarks.Speakers;

/// <summary>Writes scores as Markdown tables.</summary>
internal static class ScorePrinter
{
    private static readonly string[] Who = ["neither", "subject", "interviewer", "both"];

    internal static void Print(IReadOnlyList<Score> scores, TextWriter to)
    {
        to.WriteLine("| condition | talks | speech time right | one talker right | edges p50 / p95, ms | within 200 ms | turns missed | invented | restarts found / said | false faults |");
        to.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (bool heldOut in (bool[])[false, true])
        {
            string half = heldOut ? "held out" : "looked at";
            foreach (IGrouping<string, Score> condition in scores.Where(score => score.HeldOut == heldOut).GroupBy(score => score.Condition))
            {
                Row(to, $"{half}: {condition.Key}", [.. condition]);
            }

            Row(to, $"**{half}: as asked, together**", [.. scores.Where(score => score.HeldOut == heldOut && score.IsAsked)]);
        }

        to.WriteLine();
        to.WriteLine("Held out and as asked, seconds:");
        to.WriteLine();
        to.WriteLine("| true \\ told | " + string.Join(" | ", Who) + " |");
        to.WriteLine("| --- | --- | --- | --- | --- |");
        Score[] asked = [.. scores.Where(score => score is { HeldOut: true, IsAsked: true })];
        for (int truth = 0; truth < Who.Length; truth++)
        {
            to.WriteLine($"| {Who[truth]} | " + string.Join(" | ", Enumerable.Range(0, 4).Select(
                told => Number(asked.Sum(score => score.Confusion[truth][told]) / 100.0, 0))) + " |");
        }
    }

    private static void Row(TextWriter to, string name, Score[] scores)
    {
        if (scores.Length == 0)
        {
            return;
        }

        double[] edges = [.. scores.SelectMany(score => score.EdgeSeconds).Select(edge => Math.Abs(edge) * 1000).Order()];
        double within = edges.Length == 0 ? 0 : 100.0 * edges.Count(edge => edge <= 200) / edges.Length;
        int turns = scores.Sum(score => score.Turns);
        to.WriteLine(string.Join(
            " | ",
            $"| {name}", scores.Length, Right(scores, 1, 3), Right(scores, 1, 2),
            $"{Number(At(edges, 0.5), 0)} / {Number(At(edges, 0.95), 0)}", Number(within, 1) + " %",
            $"{scores.Sum(score => score.Missed)} of {turns}", scores.Sum(score => score.Invented),
            $"{scores.Sum(score => score.RestartsRight)} of {scores.Sum(score => score.Restarts)} / {scores.Sum(score => score.RestartsTold)}",
            $"{scores.Sum(score => score.Faults)} |"));
    }

    private static string Right(Score[] scores, int from, int to)
    {
        long all = 0, right = 0;
        for (int truth = from; truth <= to; truth++)
        {
            all += scores.Sum(score => score.Confusion[truth].Sum());
            right += scores.Sum(score => score.Confusion[truth][truth]);
        }

        return all == 0 ? "–" : Number(100.0 * right / all, 1) + " %";
    }

    /// <summary>Nearest rank.</summary>
    private static double At(double[] sorted, double share) =>
        sorted.Length == 0 ? 0 : sorted[Math.Max(0, (int)Math.Ceiling(share * sorted.Length) - 1)];

    private static string Number(double value, int digits) =>
        value.ToString("F" + digits.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
}
