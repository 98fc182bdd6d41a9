namespace SyncBench.Selection;

/// <summary>What the rumble of one mic has in common with that of others: a passing lorry is heard by all alike, wind and thumps are not.</summary>
internal static class SharedRumble
{
    /// <summary>Traffic that is heard by all raises the rumble by 10 dB at most.</summary>
    private const float MostRaised = 10;

    /// <summary>From so much on another mic is said to hear something.</summary>
    private const float HeardDb = 4;
    private const double Alike = 0.5;

    /// <summary>±20 ms.</summary>
    private const int HalfWidth = 2;

    /// <summary>How many times its usual the rumble is on each of the others at a step of the grid, at least.</summary>
    public static float RaisedForAll(IReadOnlyList<Rumble> others, int step)
    {
        float? least = others.Min(other => other.RaisedAt(step));
        return Math.Clamp(least ?? 1, 1, MostRaised);
    }

    /// <summary>Whether another mic hears more than usual as well, and it fluctuates alike.</summary>
    public static bool IsHeard(Rumble mic, IReadOnlyList<Rumble> others, (int First, int End) span) => others.Any(other =>
    {
        int shift = mic.Track.First - other.Track.First;
        if (span.First + shift < 0 || span.End + shift > other.Track.Count)
        {
            return false;
        }

        float[] there = LevelDb(other, (span.First + shift, span.End + shift));
        return there.Average() >= SpeechBands.Db(other.Usual) + HeardDb && Correlation(LevelDb(mic, span), there) >= Alike;
    });

    private static float[] LevelDb(Rumble mic, (int First, int End) span) =>
        Running.Mean(span.End - span.First, i => SpeechBands.Db(mic.Power(span.First + i)), HalfWidth);

    private static double Correlation(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        double leftMean = 0, rightMean = 0;
        for (int i = 0; i < left.Length; i++)
        {
            leftMean += left[i] / left.Length;
            rightMean += right[i] / left.Length;
        }

        double both = 0, leftPower = 1e-9, rightPower = 1e-9;
        for (int i = 0; i < left.Length; i++)
        {
            double l = left[i] - leftMean, r = right[i] - rightMean;
            both += l * r;
            leftPower += l * l;
            rightPower += r * r;
        }

        return both / Math.Sqrt(leftPower * rightPower);
    }
}
