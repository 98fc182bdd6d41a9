using SyncBench.Signal;

namespace SyncBench.Alignment;

/// <summary>Fits lines to lags of which some belong to other talkers and reflections.</summary>
internal static class LagBand
{
    /// <summary>Lags of one path scatter by less as a talker leans about; two paths mostly lie farther apart.</summary>
    private const double BandSeconds = 0.001;

    private const double FinestSpreadSeconds = 0.000005;

    /// <summary>A shorter overlap tells nothing of the rate: a talker who leans 10 cm makes 6 ppm of it.</summary>
    private const double ShortestSpanForRate = 45;

    private const int FewestForRate = 5;

    /// <summary>Lags this long apart can be followed along a line, be it the clock or the talker that moves them.</summary>
    private const double ShortestSpanToFollow = 3;

    /// <summary>No clock and no talker drifts so; such a line joins lags that have nothing to do with each other.</summary>
    private const double SteepestPpm = 200;

    /// <summary>The line through the band in which most lags lie.</summary>
    /// <returns>Null where the lags are too few or too close in time to be followed.</returns>
    internal static LagLine? Densest(List<Lag> lags, LagLine around)
    {
        double[] off = [.. lags.Select(lag => lag.LagSeconds - around.At(lag.QuerySeconds))];
        Lag[] band = [];
        foreach (double centre in off)
        {
            Lag[] near = [.. lags.Where((_, i) => Math.Abs(off[i] - centre) <= BandSeconds)];
            band = near.Length > band.Length ? near : band;
        }

        LagLine? line = Spans(band, ShortestSpanToFollow) ? FitRate(band).Line : null;
        return line is { } found && Math.Abs(found.Ppm) <= SteepestPpm ? line : null;
    }

    /// <param name="lags">Lags near the line wanted.</param>
    /// <param name="expected">Its rate is kept where the lags cannot tell one.</param>
    /// <param name="windows">How many windows (or stacks) were tried, the unclear ones included.</param>
    /// <returns>Null where fewer than two lags agree.</returns>
    internal static TrackedLags? Fit(List<Lag> lags, LagLine expected, int windows)
    {
        if (lags.Count < 2)
        {
            return null;
        }

        Lag[] all = [.. lags];
        (LagLine line, double spread) = Spans(all, ShortestSpanForRate) ? FitRate(all) : FitOffset(all, expected.Ppm);
        double reach = Math.Clamp(4 * spread, 0.0001, BandSeconds);
        bool[] counted = [.. all.Select(lag => Math.Abs(lag.LagSeconds - line.At(lag.QuerySeconds)) <= reach)];
        int inliers = counted.Count(c => c);
        return inliers < 2 ? null : new TrackedLags(line, [.. all], [.. counted], spread, (double)inliers / windows);
    }

    private static bool Spans(Lag[] lags, double seconds) =>
        lags.Length >= FewestForRate
        && lags.Max(lag => lag.QuerySeconds) - lags.Min(lag => lag.QuerySeconds) >= seconds;

    private static (LagLine Line, double Spread) FitRate(Lag[] lags)
    {
        double middle = (lags.Min(lag => lag.QuerySeconds) + lags.Max(lag => lag.QuerySeconds)) / 2;
        LineFit fit = RobustLine.Fit(
            [.. lags.Select(lag => lag.QuerySeconds - middle)], [.. lags.Select(lag => lag.LagSeconds)],
            FinestSpreadSeconds);
        return (new LagLine(middle, fit.Intercept, fit.Slope * 1e6), fit.Scale);
    }

    private static (LagLine Line, double Spread) FitOffset(Lag[] lags, double ppm)
    {
        double middle = (lags.Min(lag => lag.QuerySeconds) + lags.Max(lag => lag.QuerySeconds)) / 2;
        double[] level = [.. lags.Select(lag => lag.LagSeconds - ((lag.QuerySeconds - middle) * ppm * 1e-6))];
        (double offset, double spread) = Statistics.MedianAndSpread<double>(level);
        return (new LagLine(middle, offset, ppm), Math.Max(spread, FinestSpreadSeconds));
    }
}
