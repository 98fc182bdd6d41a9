namespace SyncBench.Benchmarks.Accuracy;

/// <summary>A limit of the design and what was measured against it.</summary>
internal sealed record Limit(string What, string Asked, double? Measured, bool IsMet, int Scenes);

/// <summary>The table and the limits, out of single results.</summary>
internal sealed record Report(string Date, bool Quick, IReadOnlyList<Row> Rows, IReadOnlyList<Limit> Limits, IReadOnlyList<TrialResult> Results)
{
    private static readonly double[] Lengths = [2, 5, 10, 30, 60];

    /// <summary>An array, so that a report of an older version, which has none, can be read.</summary>
    public IReadOnlyList<ReliabilityBin> Reliability { get; init; } = [];

    public IReadOnlyList<ClaimedError> ClaimedErrors { get; init; } = [];

    internal static Report Of(IReadOnlyList<TrialResult> results, bool quick) => new(
        DateTime.UtcNow.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture), quick,
        [.. TableOf(results).Where(row => row.Scenes > 0)], [.. LimitsOf(results)], results)
    {
        Reliability = [.. ReliabilityBin.Of(results)],
        ClaimedErrors = [.. ClaimedError.Of(results)],
    };

    private static IEnumerable<Row> TableOf(IReadOnlyList<TrialResult> results)
    {
        TrialResult[] main = [.. results.Where(result => result.Kind == Trials.Main)];
        foreach (double seconds in Lengths)
        {
            foreach (double ratio in Trials.Ratios)
            {
                yield return Row.Of($"{seconds} s, {ratio} dB", main.Where(r => r.Seconds == seconds && r.SnrDb == ratio));
            }
        }

        foreach (double room in new[] { 0.2, 0.4, 0.8 })
        {
            foreach (bool far in new[] { false, true })
            {
                TrialResult[] here = [.. main.Where(r => r.Rt60 == room && r.IsFar == far && r.Seconds >= 10)];
                double heard = here.Select(r => r.DirectToReverberantDb).DefaultIfEmpty().Average();
                foreach (double ratio in Trials.Ratios)
                {
                    yield return Row.Of(FormattableString.Invariant($"RT60 {room} s, D/R {heard:0.0} dB, {ratio} dB"), here.Where(r => r.SnrDb == ratio));
                }
            }
        }

        foreach (double ratio in Trials.Ratios)
        {
            TrialResult[] far = [.. results.Where(r => r.Kind == Trials.Far && r.SnrDb == ratio)];
            double heard = far.Select(r => r.DirectToReverberantDb).DefaultIfEmpty().Average();
            yield return Row.Of(FormattableString.Invariant($"4 m, RT60 0.8 s, D/R {heard:0.0} dB, {ratio} dB"), far);
        }

        TrialResult[] noisy = [.. results.Where(r => r.Kind == Trials.Noisy)];
        foreach (IGrouping<string?, TrialResult> noise in noisy.GroupBy(r => r.Noise))
        {
            foreach (double ratio in Trials.Ratios)
            {
                yield return Row.Of($"{noise.Key!.ToLowerInvariant()}, 10 s, {ratio} dB", noise.Where(r => r.SnrDb == ratio && r.Seconds == 10));
                yield return Row.Of($"{noise.Key!.ToLowerInvariant()}, 30 and 60 s, {ratio} dB", noise.Where(r => r.SnrDb == ratio && r.Seconds > 10));
            }
        }

        foreach (double seconds in Lengths)
        {
            foreach (double ratio in Trials.Ratios)
            {
                yield return Row.Of(
                    $"recorded voices, {seconds} s, {ratio} dB",
                    results.Where(r => r.Kind == Trials.People && r.Seconds == seconds && r.SnrDb == ratio));
            }
        }

        foreach (double inside in new double[] { 10, 30 })
        {
            foreach (double ratio in Trials.Ratios)
            {
                yield return Row.Of(
                    $"{inside} of 60 s inside the recorder, {ratio} dB",
                    results.Where(r => r.Kind == Trials.Partial && Math.Round(r.InsideSeconds) == inside && r.SnrDb == ratio));
            }
        }

        foreach (double ratio in Trials.Ratios)
        {
            yield return Row.Of(
                $"still talker, 5 min, {ratio} dB", results.Where(r => r.Kind == Trials.Still && r.Seconds == 300 && r.SnrDb == ratio));
        }

        yield return Row.Of("still talker, 20 min", results.Where(r => r.Kind == Trials.Still && r.Seconds > 300));
        yield return Row.Of("moving talker, 5 min", results.Where(r => r.Kind == Trials.Moving && r.Seconds == 300));
        yield return Row.Of("moving talker, 20 min", results.Where(r => r.Kind == Trials.Moving && r.Seconds > 300));
        foreach (TrialResult take in results.Where(r => r.Kind == Trials.Take))
        {
            yield return Row.AnywhereIn(
                FormattableString.Invariant($"{take.Recorder}, 40 min, clock warms up by {take.WarmingPpm} ppm: error anywhere"), take);
        }

        foreach (double ratio in Trials.Ratios)
        {
            yield return Row.Of($"60 s in a recorder of 4 h, {ratio} dB", results.Where(r => r.Kind == Trials.InFourHours && r.SnrDb == ratio));
        }

        yield return Row.Of("AAC 128 kbit/s, 30 s, 10 dB", results.Where(r => r.Kind == Trials.Aac));
        yield return Row.Of("44.1 kHz, 30 s, 10 dB", main.Where(r => r.RateHz == 44_100));
        yield return Row.Of("96 kHz, 30 s, 10 dB", main.Where(r => r.RateHz == 96_000));
        foreach (IGrouping<string, TrialResult> kind in results.Where(r => !r.Belongs).GroupBy(r => r.Kind))
        {
            yield return Row.Of("unrelated: " + kind.Key, kind);
        }
    }

    private static IEnumerable<Limit> LimitsOf(IReadOnlyList<TrialResult> results)
    {
        TrialResult[] main = [.. results.Where(result => result.Kind == Trials.Main)];
        Row near = Row.Of("", main.Where(r => r is { SnrDb: 0, IsFar: false, Seconds: >= 30 }));
        yield return Most("p95 of placement, 0 dB, direct-to-reverberant about -6 dB, 30 and 60 s", near.P95Ms, 0.1, "ms", near.Scenes);
        Row far = Row.Of("", results.Where(r => r is { Kind: Trials.Far, SnrDb: -10, Seconds: >= 30 }));
        yield return Most("p95 of placement, -10 dB, direct-to-reverberant about -12 dB, 30 and 60 s", far.P95Ms, 0.25, "ms", far.Scenes);
        Row still = Row.Of("", results.Where(r => r is { Kind: Trials.Still, Seconds: > 300 }));
        yield return Most("clock rate, 20 min, still talker, largest error", still.MaxPpm, 0.1, "ppm", still.Scenes);
        Row moving = Row.Of("", results.Where(r => r is { Kind: Trials.Moving, Seconds: > 300 }));
        yield return Most("clock rate, 20 min, moving talker, largest error", moving.MaxPpm, 0.3, "ppm", moving.Scenes);
        Row five = Row.Of("", results.Where(r => r is { Kind: Trials.Moving, Seconds: 300 }));
        yield return Most("clock rate, 5 min, moving talker, largest error", five.MaxPpm, 1.3, "ppm", five.Scenes);
        TrialResult[] takes = [.. results.Where(r => r.Kind == Trials.Take)];
        yield return Most(
            "error anywhere in a take of 40 min, clock warming up by up to 2 ppm", takes.Length == 0 ? null : takes.Max(r => r.WorstMs), 0.5, "ms", takes.Length);
        Row ten = Row.Of("", main.Where(r => r is { SnrDb: 0, Seconds: 10 }));
        yield return new Limit("clips of 10 s placed, 0 dB", ">= 99 %", ten.SharePlaced * 100, ten.SharePlaced >= 0.99, ten.Scenes);
        foreach ((double ratio, double share) in new[] { (0.0, 99.5), (-10.0, 98.0) })
        {
            Row found = Row.Of("", results.Where(r => r.Kind == Trials.InFourHours && r.SnrDb == ratio));
            yield return new Limit(
                FormattableString.Invariant($"clips of 60 s found in a recorder of 4 h, {ratio} dB"), FormattableString.Invariant($">= {share} %"),
                found.SharePlaced * 100, found.SharePlaced * 100 >= share && found.FalsePlacements == 0, found.Scenes);
        }

        TrialResult[] foreign = [.. results.Where(r => !r.Belongs)];
        int wrong = foreign.Count(r => r.IsFalse);
        yield return new Limit("false placements of unrelated pairs", "0 in 1000", wrong, wrong == 0 && foreign.Length >= 1000, foreign.Length);
        ReliabilityBin sure = ReliabilityBin.Of(results, 0.999, 1.1);
        yield return Most("wrong of all placements said to be 99.9 % sure", 100 * (1 - sure.ShareRight), 0.1, "%", sure.Guesses);
    }

    private static Limit Most(string what, double? measured, double limit, string unit, int scenes) => new(
        what, FormattableString.Invariant($"<= {limit} {unit}"), measured, measured <= limit, scenes);
}
