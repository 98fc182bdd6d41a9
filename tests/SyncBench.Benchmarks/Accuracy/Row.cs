namespace SyncBench.Benchmarks.Accuracy;

/// <summary>One line of the table.</summary>
/// <param name="P50Ms">Of the absolute error of the middle of the clips that were placed.</param>
/// <param name="P50Ppm">Of the absolute error of the rate; null where the clips are too short to tell one.</param>
internal sealed record Row(
    string Condition, int Scenes, double SharePlaced, double? P50Ms, double? P95Ms, double? MaxMs,
    double? P50Ppm, double? P95Ppm, double? MaxPpm, int FalsePlacements)
{
    /// <summary>A shorter overlap tells nothing of the rate.</summary>
    private const double ShortestForRate = 60;

    internal static Row Of(string condition, IEnumerable<TrialResult> results)
    {
        TrialResult[] all = [.. results];
        TrialResult[] placed = [.. all.Where(result => result is { IsPlaced: true, Belongs: true })];
        double[] errors = Sorted(placed.Select(result => result.ErrorMs));
        double[] rates = Sorted(placed.Where(result => Math.Max(result.InsideSeconds, 0) >= ShortestForRate && result.PpmError is not null).Select(result => result.PpmError));
        return new Row(
            condition, all.Length, all.Length == 0 ? 0 : (double)all.Count(result => result.IsPlaced) / all.Length,
            At(errors, 0.5), At(errors, 0.95), At(errors, 1), At(rates, 0.5), At(rates, 0.95), At(rates, 1),
            all.Count(result => result.IsFalse));
    }

    /// <summary>One long clip, by its largest error from the first to the last second.</summary>
    internal static Row AnywhereIn(string condition, TrialResult result) =>
        Of(condition, [result with { ErrorMs = result.WorstMs, PpmError = result.WarmingPpm == 0 ? result.PpmError : null }]);

    private static double[] Sorted(IEnumerable<double?> values) => [.. values.Select(value => Math.Abs(value ?? 0)).Order()];

    /// <summary>Nearest rank.</summary>
    private static double? At(double[] sorted, double share) =>
        sorted.Length == 0 ? null : sorted[Math.Max(0, (int)Math.Ceiling(share * sorted.Length) - 1)];
}
