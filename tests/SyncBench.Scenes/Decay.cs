namespace SyncBench.Scenes;

/// <summary>Reverberation time from the energy of a decaying click.</summary>
public static class Decay
{
    /// <summary>
    /// T30: the time for 60 dB on a line through the part of the backward-summed energy from −5 to −35 dB.
    /// </summary>
    /// <param name="energy">Energy per step, from the click on.</param>
    /// <remarks>
    /// M. R. Schroeder, "New method of measuring reverberation time", J. Acoust. Soc. Am. 37, 1965; the range is
    /// that of ISO 3382-1 for T30 (from memory).
    /// </remarks>
    public static double Seconds(IReadOnlyList<double> energy, double stepSeconds)
    {
        var left = new double[energy.Count];
        double sum = 0;
        for (int i = energy.Count - 1; i >= 0; i--)
        {
            sum += energy[i];
            left[i] = sum;
        }

        double n = 0, t = 0, tt = 0, d = 0, td = 0;
        for (int i = 0; i < left.Length && left[i] > 0; i++)
        {
            double db = 10 * Math.Log10(left[i] / left[0]);
            if (db is <= -5 and >= -35)
            {
                (n, t, tt, d, td) = (n + 1, t + i, tt + ((double)i * i), d + db, td + (i * db));
            }
        }

        double slope = ((n * td) - (t * d)) / ((n * tt) - (t * t));
        return -60 / slope * stepSeconds;
    }
}
