using SyncBench.Signal.Loudness;

namespace SyncBench.Selection;

/// <summary>Finds what brings each mic of a take to the level of the main one, where both hear the same speech.</summary>
/// <remarks>
/// Compared is the momentary loudness of ITU-R BS.1770 wherever it passes the relative gate in both mics, that is, while
/// somebody speaks: the median of the difference, so that a gust or a knock on one of them does not count. A mic that
/// never rolls together with the main one is matched by way of one that rolls with both.
/// </remarks>
internal static class LevelMatch
{
    private const int WindowSteps = 20; // 400 ms
    private const int HopSteps = 5;

    /// <summary>Two seconds of speech.</summary>
    private const int FewestWindows = 20;

    /// <param name="main">Index of the main mic, −1 for none.</param>
    /// <returns>For each track what it is to be raised by, and how that was found.</returns>
    internal static (double Db, string By)[] ToMain(MicLoudnessTrack[] tracks, int main)
    {
        double[][] momentary = [.. tracks.Select(track => Momentary(track.Powers))];
        double[] gates = [.. tracks.Select(track => LoudnessFigures.Of(track.Powers, 0).IntegratedLufs - 10)];
        var matches = new (double Db, string By)[tracks.Length];
        Array.Fill(matches, (0, "nothing to compare it with"));
        if (main < 0)
        {
            return matches;
        }

        matches[main] = (0, "the main mic");
        var matched = new List<int> { main };
        var open = Enumerable.Range(0, tracks.Length).Where(mic => mic != main).ToList();
        while (open.Count > 0)
        {
            (int mic, int by, double[] differences) = open
                .SelectMany(mic => matched.Select(by => (mic, by, Differences(by, mic))))
                .MaxBy(pair => pair.Item3.Length);
            if (differences.Length < FewestWindows)
            {
                break;
            }

            Array.Sort(differences);
            string how = FormattableString.Invariant($"{differences.Length * 0.1:0} s of speech heard by both");
            matches[mic] = (matches[by].Db + differences[differences.Length / 2], how);
            matched.Add(mic);
            open.Remove(mic);
        }

        foreach (int mic in open.Where(mic => double.IsFinite(gates[mic]) && double.IsFinite(gates[main])))
        {
            matches[mic] = (gates[main] - gates[mic], "loudness alone: no speech heard by both");
        }

        return matches;

        double[] Differences(int by, int mic) =>
        [
            .. Enumerable.Range(0, momentary[by].Length)
                .Where(window => momentary[by][window] > gates[by] && momentary[mic][window] > gates[mic])
                .Select(window => momentary[by][window] - momentary[mic][window]),
        ];
    }

    /// <summary>LUFS, one a hop; NaN where the mic does not roll for all of the window.</summary>
    private static double[] Momentary(float[] powers) =>
    [
        .. Enumerable.Range(0, Math.Max(0, ((powers.Length - WindowSteps) / HopSteps) + 1)).Select(window =>
        {
            double sum = 0;
            foreach (float power in powers.AsSpan(window * HopSteps, WindowSteps))
            {
                sum += power;
            }

            return LoudnessWindows.Lufs(sum / WindowSteps);
        }),
    ];
}
