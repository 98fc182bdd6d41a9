namespace SyncBench.Benchmarks.Accuracy;

/// <summary>Guesses of about the same claimed certainty, and how many of them were right.</summary>
/// <param name="From">Least certainty of the bin.</param>
/// <param name="To">Where the next bin begins; 1 where none does.</param>
/// <param name="MeanClaimed">Mean certainty claimed in it.</param>
/// <param name="LeastShare">Lower end of Wilson's 95 % interval of the share right.</param>
internal sealed record ReliabilityBin(
    double From, double To, int Guesses, int Right, double MeanClaimed, double ShareRight, double LeastShare, double MostShare)
{
    private static readonly double[] Edges = [0.5, 0.8, 0.9, 0.97, 0.99, 0.999, 0.9999, 0.999999, 1.1];

    /// <summary>Bins of all guesses, those left to be checked by ear included.</summary>
    internal static IEnumerable<ReliabilityBin> Of(IReadOnlyList<TrialResult> results) =>
        Edges.Zip(Edges.Skip(1)).Select(bin => Of(results, bin.First, bin.Second));

    internal static ReliabilityBin Of(IReadOnlyList<TrialResult> results, double from, double to)
    {
        TrialResult[] here = [.. results.Where(r => r.IsGuess && r.Certainty >= from && r.Certainty < to)];
        int right = here.Count(r => r.IsRight);
        (double least, double most) = Wilson(right, here.Length);
        return new ReliabilityBin(
            from, Math.Min(1, to), here.Length, right, here.Select(r => r.Certainty).DefaultIfEmpty().Average(),
            here.Length == 0 ? 0 : (double)right / here.Length, least, most);
    }

    /// <remarks>
    /// E. B. Wilson, "Probable inference, the law of succession, and statistical inference", J. Am. Stat. Assoc. 22,
    /// 1927: the values of p at which the count found lies 1.96 standard deviations off.
    /// </remarks>
    private static (double Least, double Most) Wilson(int right, int count)
    {
        if (count == 0)
        {
            return (0, 1);
        }

        const double Z = 1.96;
        double share = (double)right / count, z = Z * Z / count;
        double middle = (share + (z / 2)) / (1 + z);
        double half = Math.Sqrt((share * (1 - share) * z) + (z * z / 4)) / (1 + z);
        return (Math.Max(0, middle - half), Math.Min(1, middle + half));
    }
}
