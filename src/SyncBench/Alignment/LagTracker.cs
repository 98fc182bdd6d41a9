using System.Collections.Immutable;
using System.Numerics.Tensors;
using SyncBench.Signal;

namespace SyncBench.Alignment;

/// <summary>One measured lag.</summary>
/// <param name="QuerySeconds">Middle of the window, or of the windows stacked, on the query's clock.</param>
/// <param name="LagSeconds">Reference time less query time.</param>
internal readonly record struct Lag(double QuerySeconds, double LagSeconds);

/// <summary>Lags along a pair, and the line they lie on.</summary>
/// <param name="Counted">For each lag whether it lies on the line.</param>
/// <param name="SpreadSeconds">Robust standard deviation of the counted lags about the line.</param>
/// <param name="InlierShare">Counted lags over windows tried.</param>
internal sealed record TrackedLags(
    LagLine Line, ImmutableArray<Lag> Lags, ImmutableArray<bool> Counted, double SpreadSeconds, double InlierShare)
{
    /// <summary>
    /// Every single window in order of time, in query seconds, and whether it shows its peak on the line, also where only
    /// stacks of them were clear enough to be measured.
    /// </summary>
    internal ImmutableArray<(double Seconds, bool IsOnLine)> Windows { get; init; } = [];

    internal double ShareOfWindows => Windows.IsEmpty ? 0 : (double)Windows.Count(window => window.IsOnLine) / Windows.Length;

    /// <summary>
    /// What the lags may all be off by, one standard error: nothing where the wearer of the close mic is heard, else
    /// <see cref="OtherTalkerSeconds"/>, for then it is another talker's path that was measured.
    /// </summary>
    internal double BiasSeconds { get; init; }

    /// <summary>Another talker's path is 8 to 12 ms off in a usual set-up; no more than some metres of way.</summary>
    internal const double OtherTalkerSeconds = 0.008;

    /// <summary>Whether no window showed a peak: see <see cref="OfLineAlone"/>.</summary>
    internal bool IsLineAlone => InlierShare == 0;

    /// <summary>
    /// A short clip in noise may surely lie on a line though no window of it shows a clear peak: then its middle is
    /// known to a cell of the search, and nothing of its rate.
    /// </summary>
    internal static TrackedLags OfLineAlone(LagLine line) =>
        new(line, [new Lag(line.MiddleSeconds, line.LagSeconds)], [true], LineSearch.CellSeconds, 0);
}

/// <summary>
/// Follows a known line through the whole overlap of a pair with windows of two seconds and measures the lag in each
/// to a few microseconds.
/// </summary>
/// <remarks>
/// In a room every window shows several peaks: the direct path, reflections nearly as strong, and the other talker's
/// direct path some milliseconds away. Which of them is the subject's direct path is decided once, on the mean of all
/// windows in which the subject speaks (<see cref="FirstArrival"/>); single windows are then read only near it. Rows
/// are cut along the line, so rows of neighbours can be averaged without smear: where single windows are too weak,
/// stacks of 5 and of 15 are read instead (docs/alignment.md).
/// </remarks>
internal sealed class LagTracker
{
    private const double LongestWindow = 2.0;
    private const double ShortestWindow = 0.5;

    /// <summary>Enough that each of two talkers who share a clip of ten seconds has some to himself.</summary>
    private const int WishedWindows = 12;

    private const int MaxWindows = 300;

    /// <summary>24 ms: the line may lie on a reflection that comes so late. With the longest window it still fits the transform.</summary>
    private const int ReachSamples = 380;

    /// <summary>How far a talker's movement can take a window's peak from the mean: 1 ms is 34 cm of way.</summary>
    private const int SwaySamples = 16;

    /// <summary>A row's highest value over its spread; 761 values of noise alone reach 3.2 on average.</summary>
    private const float LeastQuality = 6;

    /// <summary>The same where only <see cref="SwaySamples"/> either way are searched.</summary>
    private const float LeastQualityNearby = 4.5f;

    private const double GoodShare = 0.6;

    private const float ClearlyDeeper = 1.3f;

    private static readonly float[] Whitenings = [1f, 0.8f];
    private static readonly int[] Stacks = [1, 5, 15];

    private readonly float[] _query = new float[(int)(LongestWindow * SoundTrack.SamplesPerSecond)];
    private readonly float[] _reference =
        new float[(int)(LongestWindow * SoundTrack.SamplesPerSecond) + (2 * ReachSamples) + 1];

    private readonly CrossCorrelator _correlator = new(1 << 15, SoundTrack.SamplesPerSecond, 200, 7500);

    /// <summary>The correlation of one window, or the mean of several, around where the line puts it.</summary>
    private sealed record Row(double Seconds, double LevelDb, float[] Values);

    /// <param name="pair">The pair, which shares sound.</param>
    /// <param name="line">Where it lies, to 15 ms.</param>
    /// <returns>Null where nothing in the overlap is clear enough to measure.</returns>
    internal TrackedLags? Track(SoundPair pair, LagLine line)
    {
        TrackedLags? best = null;
        foreach (List<Row> rows in Rows(pair, line))
        {
            LagLine steady = WithRateOfPeaks(rows, line);
            List<Row> along = Upright([.. rows.Select(row => Moved(row, steady.At(row.Seconds) - line.At(row.Seconds)))]);
            if (Arrival(pair, along) is not { } arrival)
            {
                continue;
            }

            ImmutableArray<(double, bool)> windows = [];
            foreach (int stack in Stacks)
            {
                TrackedLags? tracked = Measure(Stacked(along, stack), steady, arrival);
                windows = windows.IsEmpty ? OnLine(along, tracked) : windows;
                if (tracked is not null && (best is null || Better(tracked, best)))
                {
                    best = tracked with { Windows = windows, BiasSeconds = HearsWearer(pair, along) ? 0 : TrackedLags.OtherTalkerSeconds };
                }

                if (tracked is { InlierShare: >= GoodShare })
                {
                    break;
                }
            }
        }

        return best;
    }

    /// <summary>
    /// Mean lag of the subject over the whole overlap, less what the line says; for a pair whose line is known well.
    /// </summary>
    /// <returns>Null where the mean of all windows shows no clear peak.</returns>
    internal double? MeanLag(SoundPair pair, LagLine line) =>
        Arrival(pair, Upright(Rows(pair, line)[0])) is { } arrival ? arrival / SoundTrack.SamplesPerSecond : null;

    private static bool Better(TrackedLags left, TrackedLags right) =>
        left.InlierShare >= GoodShare && right.InlierShare >= GoodShare
            ? left.SpreadSeconds < right.SpreadSeconds
            : left.InlierShare > right.InlierShare;

    private List<Row>[] Rows(SoundPair pair, LagLine line)
    {
        List<Row>[] rows = [.. Whitenings.Select(_ => new List<Row>())];
        double lag = line.LagSeconds;
        (double start, double end) = pair.Overlap(lag);
        double seconds = Math.Clamp((end - start) / WishedWindows, ShortestWindow, LongestWindow);
        int slots = Math.Min(MaxWindows, (int)((end - start) / seconds));
        if (slots < 1)
        {
            return rows;
        }

        float[] taper = Window.Hann((int)(seconds * SoundTrack.SamplesPerSecond));
        foreach (double at in pair.WindowStarts(lag, seconds, slots))
        {
            double middle = at + (seconds / 2);
            long first = (long)Math.Round(at * SoundTrack.SamplesPerSecond);
            double cut = line.At(middle) * SoundTrack.SamplesPerSecond;
            long whole = (long)Math.Floor(cut);
            Span<float> query = _query.AsSpan(0, taper.Length);
            Span<float> reference = _reference.AsSpan(0, taper.Length + (2 * ReachSamples) + 1);
            pair.Query.Read(first, query);
            pair.Reference.Read(first + whole - ReachSamples, reference);
            TensorPrimitives.Multiply(query, taper, query);
            if (!_correlator.Load(reference, query))
            {
                continue;
            }

            double level = pair.CloseLevelDb(at, line.At(middle), seconds);
            for (int w = 0; w < Whitenings.Length; w++)
            {
                float[] values = new float[(2 * ReachSamples) + 1];
                _correlator.Row(Whitenings[w], ReachSamples + (cut - whole), values);
                rows[w].Add(new Row(middle, level, values));
            }
        }

        return rows;
    }

    /// <summary>
    /// The line at the rate of its strongest peaks. Direct path and reflections drift alike, so it does not matter
    /// which of them a window shows, only that one band of them is followed.
    /// </summary>
    private static LagLine WithRateOfPeaks(List<Row> rows, LagLine line)
    {
        var lags = new List<Lag>();
        foreach (Row row in rows)
        {
            if (Peak(row.Values, 0, row.Values.Length, LeastQuality) is { } peak)
            {
                lags.Add(new Lag(row.Seconds, line.At(row.Seconds) + (peak / SoundTrack.SamplesPerSecond)));
            }
        }

        LagLine? rate = LagBand.Densest(lags, line);
        return rate is { } found ? line with { Ppm = found.Ppm } : line;
    }

    /// <summary>The subject's direct path in the mean of the windows in which the subject speaks, in samples.</summary>
    private static double? Arrival(SoundPair pair, List<Row> rows)
    {
        if (rows.Count == 0)
        {
            return null;
        }

        double loud = Math.Max(pair.LoudCloseLevelDb, rows.Max(row => row.LevelDb)) - SoundPair.FarTalkerDb;
        ILookup<bool, Row> isNear = rows.ToLookup(row => row.LevelDb >= loud);
        List<Row> near = [.. isNear[true]], far = [.. isNear[false]];
        return FirstArrival.Locate(
            Mean(near.Count > 0 ? near : rows).Values, near.Count > 0 && far.Count > 0 ? Mean(far).Values : null, pair.Reflections)
            - ReachSamples;
    }

    private static ImmutableArray<(double Seconds, bool IsOnLine)> OnLine(List<Row> rows, TrackedLags? tracked)
    {
        HashSet<double> on = tracked is null
            ? []
            : [.. tracked.Lags.Where((_, i) => tracked.Counted[i]).Select(lag => lag.QuerySeconds)];
        return [.. rows.Select(row => (row.Seconds, on.Contains(row.Seconds)))];
    }

    /// <summary>A mic wired the other way round shows its peak downwards, in all windows alike.</summary>
    private static List<Row> Upright(List<Row> rows)
    {
        if (rows.Count == 0)
        {
            return rows;
        }

        float[] mean = Mean(rows).Values;
        if (-TensorPrimitives.Min<float>(mean) <= ClearlyDeeper * TensorPrimitives.Max<float>(mean))
        {
            return rows;
        }

        foreach (Row row in rows)
        {
            TensorPrimitives.Negate<float>(row.Values, row.Values);
        }

        return rows;
    }

    /// <summary>Whether any window is as loud at the close mic as its wearer is elsewhere in that mic's clip.</summary>
    private static bool HearsWearer(SoundPair pair, List<Row> rows) =>
        rows.Exists(row => row.LevelDb >= pair.LoudCloseLevelDb - SoundPair.FarTalkerDb);

    private static Row Moved(Row row, double seconds) =>
        row with { Values = FractionalDelay.Advance(row.Values, seconds * SoundTrack.SamplesPerSecond) };

    private static List<Row> Stacked(List<Row> rows, int stack)
    {
        if (stack == 1 || rows.Count < stack)
        {
            return rows;
        }

        var stacked = new List<Row>();
        for (int first = 0; first + stack <= rows.Count; first += stack)
        {
            stacked.Add(Mean(rows.GetRange(first, stack)));
        }

        return stacked;
    }

    private static Row Mean(List<Row> rows)
    {
        float[] mean = new float[rows[0].Values.Length];
        foreach (Row row in rows)
        {
            TensorPrimitives.Add(mean, row.Values, mean);
        }

        TensorPrimitives.Divide(mean, rows.Count, mean);
        return new Row(rows.Average(row => row.Seconds), rows.Average(row => row.LevelDb), mean);
    }

    private static TrackedLags? Measure(List<Row> rows, LagLine line, double arrival)
    {
        int middle = ReachSamples + (int)Math.Round(arrival);
        int from = Math.Max(0, middle - SwaySamples), to = Math.Min((2 * ReachSamples) + 1, middle + SwaySamples + 1);
        var lags = new List<Lag>();
        foreach (Row row in rows)
        {
            if (Peak(row.Values, from, to, LeastQualityNearby) is { } peak)
            {
                lags.Add(new Lag(row.Seconds, line.At(row.Seconds) + (peak / SoundTrack.SamplesPerSecond)));
            }
        }

        LagLine expected = line with { LagSeconds = line.LagSeconds + (arrival / SoundTrack.SamplesPerSecond) };
        return LagBand.Fit(lags, expected, rows.Count);
    }

    /// <summary>
    /// Where a part of a row is highest, in samples from the row's middle; null where the peak is lost in noise or
    /// still rises at an end.
    /// </summary>
    private static double? Peak(float[] row, int from, int to, float leastQuality)
    {
        int highest = from + TensorPrimitives.IndexOfMax<float>(row.AsSpan(from, to - from));
        (float middle, float spread) = Statistics.MedianAndSpread<float>([.. row]);
        return row[highest] - middle >= leastQuality * spread && highest > from && highest < to - 1
            ? PeakInterpolation.Locate(row, highest) - ReachSamples
            : null;
    }
}
