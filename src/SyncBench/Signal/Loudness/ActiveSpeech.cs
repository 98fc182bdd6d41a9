namespace SyncBench.Signal.Loudness;

/// <summary>
/// What the active speech level of any stretch is computed from: for each second the energy, and for how long the
/// envelope had lately passed each of a row of thresholds.
/// </summary>
/// <param name="meanSquares">One for each whole second, full scale 1.</param>
/// <param name="active">Milliseconds, [second][threshold].</param>
public sealed class ActiveSpeech(float[] meanSquares, ushort[] active)
{
    /// <summary>−96 to −6 dB relative to full scale in steps of 6 dB: no coarser, says the recommendation.</summary>
    internal const int Thresholds = 16;

    /// <summary>How far the threshold lies below the level of what passes it, dB.</summary>
    private const double MarginDb = 15.9;

    internal ReadOnlySpan<float> MeanSquares => meanSquares;

    internal ReadOnlySpan<ushort> Active => active;

    public int Seconds => meanSquares.Length;

    internal static float Threshold(int j) => MathF.ScaleB(1, j - Thresholds);

    /// <summary>ITU-T P.56 method B: the level while somebody speaks, dB relative to full scale.</summary>
    /// <param name="seconds">Which of them; what lies outside is left out.</param>
    /// <returns>−∞ where nothing passes the lowest threshold.</returns>
    public double LevelDb(Range seconds)
    {
        int first = Math.Clamp(seconds.Start.GetOffset(Seconds), 0, Seconds);
        int end = Math.Clamp(seconds.End.GetOffset(Seconds), first, Seconds);
        double energy = 0;
        Span<double> times = stackalloc double[Thresholds];
        for (int second = first; second < end; second++)
        {
            energy += meanSquares[second];
            for (int j = 0; j < Thresholds; j++)
            {
                times[j] += active[(second * Thresholds) + j] / 1000.0;
            }
        }

        return LevelDb(energy, times);
    }

    /// <summary>
    /// The level over the time above a threshold falls with the threshold; asked for is the one that lies the margin above
    /// its threshold. Between two thresholds both are taken as straight lines in dB, as the recommendation does.
    /// </summary>
    /// <param name="energy">Sum of squares × seconds a sample.</param>
    /// <param name="times">Seconds above each threshold.</param>
    private static double LevelDb(double energy, ReadOnlySpan<double> times)
    {
        double before = double.NaN, levelBefore = double.NaN;
        for (int j = 0; j < times.Length && times[j] > 0; j++)
        {
            double level = 10 * Math.Log10(energy / times[j]);
            double over = level - (20 * Math.Log10(Threshold(j))) - MarginDb;
            if (over <= 0)
            {
                return j == 0 ? level : levelBefore + ((level - levelBefore) * before / (before - over));
            }

            (before, levelBefore) = (over, level);
        }

        // Weaker than all thresholds, or so even that the highest one passed still lies far below: all of it counts.
        return double.IsNaN(before) ? double.NegativeInfinity : levelBefore;
    }
}
