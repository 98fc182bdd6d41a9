namespace SyncBench.Signal;

/// <summary>Finds the top of a band-limited curve between its samples.</summary>
public static class PeakInterpolation
{
    private const int Taps = 24;
    private const int PointsPerSample = 8;

    /// <summary>
    /// Position of the top near the highest sample, in samples from the start of <paramref name="curve"/>: windowed
    /// sinc interpolation to an eighth of a sample, then a parabola through the three highest points.
    /// </summary>
    /// <param name="curve">Samples of a curve that holds nothing above 0.47 of the sample rate.</param>
    /// <param name="highest">Index of its highest sample.</param>
    /// <remarks>
    /// A parabola alone is off by up to 0.119 sample on a critically sampled peak; on the eight-fold denser curve by
    /// less than 0.001 (PeakInterpolationTests). At the very ends the curve counts as zero beyond.
    /// </remarks>
    public static double Locate(ReadOnlySpan<float> curve, int highest)
    {
        double best = highest, top = double.NegativeInfinity;
        for (int i = -PointsPerSample; i <= PointsPerSample; i++)
        {
            double at = highest + ((double)i / PointsPerSample);
            double value = ValueAt(curve, at);
            if (value > top)
            {
                (best, top) = (at, value);
            }
        }

        const double Step = 1.0 / PointsPerSample;
        double before = ValueAt(curve, best - Step), after = ValueAt(curve, best + Step);
        double bend = before - (2 * top) + after;
        return bend < 0 ? best + (Step * 0.5 * (before - after) / bend) : best;
    }

    private static double ValueAt(ReadOnlySpan<float> curve, double at)
    {
        int whole = (int)Math.Floor(at);
        double fraction = at - whole;
        if (fraction == 0 && whole >= 0 && whole < curve.Length)
        {
            return curve[whole];
        }

        double sum = 0;
        for (int i = Math.Max(0, whole - Taps + 1); i <= Math.Min(curve.Length - 1, whole + Taps); i++)
        {
            double x = at - i;
            double taper = 0.5 + (0.5 * Math.Cos(Math.PI * x / (Taps + 1)));
            sum += curve[i] * taper * Math.Sin(Math.PI * x) / (Math.PI * x);
        }

        return sum;
    }
}
