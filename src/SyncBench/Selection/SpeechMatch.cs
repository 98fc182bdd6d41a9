using SyncBench.Alignment;

namespace SyncBench.Selection;

/// <summary>By how much one mic hears speech louder than another, band by band, echo and all: the ratio of powers over all that is said.</summary>
/// <remarks>
/// <see cref="MicMatch"/>, the median of single moments, is what the direct sound makes of it; in a room that rings, a mic farther off
/// hears more than that. It stands in where the speech hardly shows above the noise.
/// </remarks>
internal static class SpeechMatch
{
    private const float Speaking = 0.6f;
    private const int FewestSteps = 200;
    private const int MostSteps = 60_000;

    /// <summary>Speech of half the power of the noise.</summary>
    private const double ShowsAbove = 0.5;

    /// <summary>Coded level of the first mic less that of the second, in half decibels, by band; null where they are never heard together.</summary>
    /// <param name="joint">Probability of speech, one a step of the grid.</param>
    public static float[]? HalfDb(MicTrack first, MicFaults firstFaults, MicTrack second, MicFaults secondFaults, float[] joint, MicMatch? moments)
    {
        if (moments is null)
        {
            return null;
        }

        int from = Math.Max(first.First, second.First), to = Math.Min(first.End, second.End);
        var sums = new double[4, BandLevels.Bands];
        int steps = 0, stride = Math.Max(1, (to - from) / MostSteps);
        for (int step = from; step < to; step += stride)
        {
            if (joint[step] > Speaking && !firstFaults.Faulty[step - first.First] && !secondFaults.Faulty[step - second.First])
            {
                steps++;
                Add(sums, 0, first.Levels(step), first.Noise(step));
                Add(sums, 2, second.Levels(step), second.Noise(step));
            }
        }

        return steps < FewestSteps
            ? moments.HalfDb
            : [.. Enumerable.Range(0, BandLevels.Bands).Select(band =>
                Shows(sums, 0, band) && Shows(sums, 2, band) ? 20 * (float)Math.Log10(sums[0, band] / sums[2, band]) : moments.HalfDb[band])];
    }

    /// <summary>Speech goes to a row, noise to the next.</summary>
    private static void Add(double[,] sums, int row, ReadOnlySpan<byte> levels, ReadOnlySpan<byte> noise)
    {
        for (int band = 0; band < levels.Length; band++)
        {
            float below = SpeechBands.Power(noise[band]);
            sums[row, band] += SpeechBands.Power(levels[band]) - below;
            sums[row + 1, band] += below;
        }
    }

    private static bool Shows(double[,] sums, int row, int band) => sums[row, band] > ShowsAbove * sums[row + 1, band];
}
