using SyncBench.Signal;

namespace SyncBench.Selection;

/// <summary>Finds where wind blows on one mic.</summary>
/// <remarks>
/// Wind is turbulence at the capsule: most of its power lies under about 100 Hz, far above what the mic reads there otherwise and
/// above the speech, and it fluctuates differently on each mic, where a passing lorry is heard by all alike. Low-frequency
/// share and missing coherence are common practice; here the fluctuations of level stand for coherence. Thresholds tuned
/// on made wind.
/// </remarks>
internal static class WindDetector
{
    private const int LowBands = 2; // up to 112 Hz
    private const int FirstSpeech = 5; // 250 Hz
    private const int EndSpeech = 17; // up to 3.5 kHz

    /// <summary>±150 ms: longer than the gap between syllables, shorter than a gust.</summary>
    private const int HalfWidth = 15;
    private const int CorrelatedOver = 100;

    /// <summary>Levels averaged over 31 steps change little in 10.</summary>
    private const int QuantileStride = 10;

    private const float AboveUsualDb = 10;
    private const float AgainstSpeechDb = 2;
    private const float AboveUsualShareDb = 6;

    // A burst of breath on a P stays below these; it is part of speech.
    private const float ThumpAboveUsualDb = 25;
    private const float ThumpAgainstSpeechDb = 4;

    /// <summary>0.3 s.</summary>
    private const int LongestLull = 30;
    private const float LowestEdgeDb = 23;
    private const float HighestEdgeDb = 12;
    private const float AboveRumbleDb = 1.5f;

    /// <summary>2.5 s, but for the 0.3 s next to it.</summary>
    private const int Beside = 250;
    private const int Gap = 30;
    private const float BlowingDb = 14;
    private const float BlowingShare = 0.5f;

    private const float SharedExcess = 0.6f;
    private const float Alike = 0.5f;

    /// <summary>What the detector looks at of one mic; made once, used for the mic and as witness for the others.</summary>
    /// <param name="DeepDb">Under 78 Hz, over 50 ms.</param>
    internal sealed record Rumble(
        MicTrack Track, float[] LowDb, float[] DeepDb, float[] SmoothDb, float[] ShareDb, float UsualDb, float UsualDeepDb,
        float UsualShareDb);

    public static Rumble Of(MicTrack track, float[] presence)
    {
        var low = new float[track.Count];
        var deep = new float[track.Count];
        var speechDb = new float[track.Count];
        for (int i = 0; i < low.Length; i++)
        {
            ReadOnlySpan<byte> levels = track.Levels(track.First + i);
            low[i] = SpeechBands.Sum(levels[..LowBands]);
            deep[i] = SpeechBands.Sum(levels[..1]);
            speechDb[i] = SpeechBands.Db(SpeechBands.Sum(levels[FirstSpeech..EndSpeech]));
        }

        // The mean of decibels, not of power: the gaps between syllables count too, and there wind shows.
        float[] smoothLow = Running.Mean(low, HalfWidth), smoothSpeech = Running.Mean(speechDb, HalfWidth);
        var lowDb = new float[low.Length];
        var smoothDb = new float[low.Length];
        var shareDb = new float[low.Length];
        for (int i = 0; i < low.Length; i++)
        {
            lowDb[i] = SpeechBands.Db(low[i]);
            smoothDb[i] = SpeechBands.Db(smoothLow[i]);
            shareDb[i] = smoothDb[i] - smoothSpeech[i];
        }

        float[] spoken = [.. shareDb.Where((_, i) => i % QuantileStride == 0 && presence[i] > 0.6f)];
        float[] any = [.. smoothDb.Where((_, i) => i % QuantileStride == 0)];
        float[] deepDb = Array.ConvertAll(Running.Mean(deep, 2), SpeechBands.Db);
        return new Rumble(
            track, lowDb, deepDb, smoothDb, shareDb, Quantile(any, 0.2),
            Quantile([.. deepDb.Where((_, i) => i % QuantileStride == 0)], 0.3), Quantile(spoken, 0.5));
    }

    /// <summary>Steps that show wind, entry 0 being <see cref="MicTrack.First"/>.</summary>
    public static bool[] Find(Rumble mic, IReadOnlyList<Rumble> others)
    {
        var found = new bool[mic.LowDb.Length];
        float share = Math.Max(AgainstSpeechDb, mic.UsualShareDb + AboveUsualShareDb);
        for (int i = 0; i < found.Length; i++)
        {
            found[i] = mic.SmoothDb[i] >= mic.UsualDb + AboveUsualDb && mic.ShareDb[i] >= share;
        }

        for (int from = 0; from < found.Length; from += CorrelatedOver)
        {
            int to = Math.Min(found.Length, from + CorrelatedOver);
            if (found.AsSpan(from, to - from).Contains(true) && others.Any(other => HearsTheSame(mic, other, from, to)))
            {
                found.AsSpan(from, to - from).Clear();
            }
        }

        return found;
    }

    /// <summary>Steps of <paramref name="low"/> so strong that a moment of them is a thump on the mic or its cable.</summary>
    public static bool[] Thumps(Rumble mic, bool[] low) =>
        [.. low.Select((shown, i) => shown
            && mic.SmoothDb[i] >= mic.UsualDb + ThumpAboveUsualDb && mic.ShareDb[i] >= ThumpAgainstSpeechDb)];

    /// <summary>
    /// From where the wind stands out from the rumble before it to where it sinks into the rumble after it, judged under all voices;
    /// empty where it is so rarely near its highest that it was no wind but a volley of knocks.
    /// </summary>
    public static (int First, int End) Exactly(Rumble mic, (int First, int End) span)
    {
        float highest = mic.DeepDb[span.First..span.End].Max();
        float edge = Math.Clamp(RumbleBeside(mic, span) + AboveRumbleDb, highest - LowestEdgeDb, highest - HighestEdgeDb);
        (int first, int end) = FaultSpans.Reaching(span, mic.DeepDb.Length, LongestLull, i => mic.DeepDb[i] >= edge);
        int from = Array.FindIndex(mic.DeepDb, first, end - first, db => db >= edge);
        int to = Array.FindLastIndex(mic.DeepDb, end - 1, end - first, db => db >= edge) + 1;
        int blowing = from < 0 ? 0 : mic.DeepDb[from..to].Count(db => db >= highest - BlowingDb);
        return blowing >= BlowingShare * (to - from) ? (from, to) : (span.First, span.First);
    }

    /// <summary>What the deep band hardly ever passes within 2.5 s before and after.</summary>
    private static float RumbleBeside(Rumble mic, (int First, int End) span)
    {
        int from = Math.Max(0, span.First - Beside), to = Math.Min(mic.DeepDb.Length, span.End + Beside);
        float[] outside = [.. mic.DeepDb[from..Math.Max(from, span.First - Gap)], .. mic.DeepDb[Math.Min(to, span.End + Gap)..to]];
        return outside.Length == 0 ? float.NegativeInfinity : Statistics.Quantile<float>(outside, 0.95);
    }

    private static bool HearsTheSame(Rumble mic, Rumble other, int from, int to)
    {
        int shift = mic.Track.First - other.Track.First;
        if (from + shift < 0 || to + shift > other.LowDb.Length)
        {
            return false;
        }

        float excess = 0, otherExcess = 0;
        for (int i = from; i < to; i++)
        {
            excess += mic.SmoothDb[i] - mic.UsualDb;
            otherExcess += other.SmoothDb[i + shift] - other.UsualDb;
        }

        return otherExcess >= SharedExcess * excess
            && Correlation(mic.LowDb.AsSpan(from, to - from), other.LowDb.AsSpan(from + shift, to - from)) >= Alike;
    }

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

    private static float Quantile(float[] values, double share) =>
        values.Length == 0 ? 0 : Statistics.Quantile<float>(values, share);
}
