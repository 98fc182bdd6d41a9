namespace SyncBench.Signal.Loudness;

/// <summary>Windows over K-weighted powers, and what ITU-R BS.1770 and EBU Tech 3341 and 3342 compute from them.</summary>
/// <remarks>
/// Loudness of a window is −0.691 + 10·log10 of its mean power. Clauses of the standards from memory; held by the
/// signals of Tech 3341 and 3342 and by ffmpeg's ebur128 (tests, Standards).
/// </remarks>
internal readonly ref struct LoudnessWindows
{
    private const double AbsoluteGateLufs = -70;
    private const double RelativeGateLu = -10;
    private const double RangeGateLu = -20;
    private const double LowestOfRange = 0.10;
    private const double HighestOfRange = 0.95;

    private const int Hop = 5; // 100 ms
    private const int Momentary = 20; // 400 ms
    private const int ShortTerm = 150; // 3 s

    private readonly ReadOnlySpan<float> _powers;

    /// <param name="powers">At <see cref="LoudnessTrack.StepRate"/>; a window with a NaN in it does not count.</param>
    internal LoudnessWindows(ReadOnlySpan<float> powers) => _powers = powers;

    internal static double Lufs(double power) => -0.691 + (10 * Math.Log10(power));

    internal static double Power(double lufs) => Math.Pow(10, (lufs + 0.691) / 10);

    internal double HighestMomentary() => Lufs(Means(Momentary, 1).DefaultIfEmpty(0).Max());

    internal double HighestShortTerm() => Lufs(Means(ShortTerm, 1).DefaultIfEmpty(0).Max());

    /// <summary>Windows of 400 ms that overlap by three quarters, gated at −70 LUFS and 10 LU below what is left.</summary>
    internal double Integrated()
    {
        List<double> above = Above(Means(Momentary, Hop), Power(AbsoluteGateLufs));
        if (above.Count == 0)
        {
            return double.NegativeInfinity;
        }

        return Lufs(Above(above, above.Average() * Math.Pow(10, RelativeGateLu / 10)).Average());
    }

    /// <summary>
    /// From the 10th to the 95th percentile of windows of 3 s, ten a second, gated at −70 LUFS and 20 LU below what is left.
    /// </summary>
    internal double Range()
    {
        List<double> above = Above(Means(ShortTerm, Hop), Power(AbsoluteGateLufs));
        if (above.Count == 0)
        {
            return 0;
        }

        List<double> left = Above(above, above.Average() * Math.Pow(10, RangeGateLu / 10));
        left.Sort();
        return Lufs(left[At(HighestOfRange)]) - Lufs(left[At(LowestOfRange)]);

        int At(double share) => (int)Math.Round((left.Count - 1) * share);
    }

    private static List<double> Above(List<double> powers, double gate) => powers.FindAll(power => power >= gate);

    /// <summary>Mean powers of all whole windows.</summary>
    private List<double> Means(int length, int hop)
    {
        var means = new List<double>(Math.Max(0, (_powers.Length - length) / hop) + 1);
        double sum = 0;
        int missing = 0;
        for (int step = 0; step < _powers.Length; step++)
        {
            (sum, missing) = float.IsNaN(_powers[step]) ? (sum, missing + 1) : (sum + _powers[step], missing);
            int first = step + 1 - length;
            if (first < 0)
            {
                continue;
            }

            if (missing == 0 && first % hop == 0)
            {
                means.Add(Math.Max(0, sum) / length);
            }

            (sum, missing) = float.IsNaN(_powers[first]) ? (sum, missing - 1) : (sum - _powers[first], missing);
        }

        return means;
    }
}
