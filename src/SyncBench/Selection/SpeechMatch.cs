using SyncBench.Alignment;

namespace SyncBench.Selection;

/// <summary>By how much one mic hears speech louder than another, band by band, echo and all: the ratio of powers over all that one person says.</summary>
/// <remarks>
/// <see cref="MicMatch"/>, the median of single moments, is what the direct sound makes of it; in a room that rings, a mic farther off
/// hears more than that. A band in which the speech hardly shows above the noise takes the ratio of the nearest in which it does.
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
    /// <param name="wearer">Whose voice counts.</param>
    public static float[]? HalfDb(
        MicTrack first, MicFaults firstFaults, MicTrack second, MicFaults secondFaults, float[] joint, Voices voices, int wearer, MicMatch? moments)
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
            bool counts = joint[step] > Speaking && voices.Wearer[step] == wearer && !voices.Far[step];
            if (counts && !firstFaults.Faulty[step - first.First] && !secondFaults.Faulty[step - second.First])
            {
                steps++;
                Add(sums, 0, first.Levels(step), first.SteadyNoise(step));
                Add(sums, 2, second.Levels(step), second.SteadyNoise(step));
            }
        }

        int[] shown = [.. Enumerable.Range(0, BandLevels.Bands).Where(band => Shows(sums, 0, band) && Shows(sums, 2, band))];
        return steps < FewestSteps || shown.Length == 0
            ? moments.HalfDb
            : [.. Enumerable.Range(0, BandLevels.Bands).Select(band => Ratio(sums, shown.MinBy(other => Math.Abs(other - band))))];
    }

    private static float Ratio(double[,] sums, int band) => 20 * (float)Math.Log10(sums[0, band] / sums[2, band]);

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
