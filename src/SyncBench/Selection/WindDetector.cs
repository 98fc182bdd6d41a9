using System.Numerics.Tensors;
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

    /// <summary>What is over sooner is no gust but a bump.</summary>
    private const int Shortest = 60;

    /// <summary>What the detector looks at of one mic; made once, used for the mic and as witness for the others.</summary>
    /// <param name="SmoothDb">Up to 112 Hz, over 0.3 s.</param>
    /// <param name="Shows">Steps at which that is wind, unless another mic hears the same.</param>
    /// <param name="Strong">Steps so strong that a moment of them is a thump on the mic or its cable.</param>
    internal sealed record Rumble(MicTrack Track, float[] SmoothDb, float UsualDb, bool[] Shows, bool[] Strong);

    /// <summary>What it has found on one mic, in steps from <see cref="MicTrack.First"/>.</summary>
    /// <param name="Thumps">Steps of thumps, whether or not they are part of a gust.</param>
    internal sealed record Gusts(List<(int First, int End)> Spans, bool[] Thumps);

    public static Rumble Of(MicTrack track, float[] presence)
    {
        float[] smoothDb = SmoothDb(track), shareDb = ShareDb(track, smoothDb);
        float usualDb = Quantile([.. smoothDb.Where((_, i) => i % QuantileStride == 0)], 0.2);
        float usualShareDb = Quantile([.. shareDb.Where((_, i) => i % QuantileStride == 0 && presence[i] > 0.6f)], 0.5);
        float leastShareDb = Math.Max(AgainstSpeechDb, usualShareDb + AboveUsualShareDb);
        return new Rumble(
            track, smoothDb, usualDb,
            Steps.Of(track.Count, i => smoothDb[i] >= usualDb + AboveUsualDb && shareDb[i] >= leastShareDb),
            Steps.Of(track.Count, i => smoothDb[i] >= usualDb + ThumpAboveUsualDb && shareDb[i] >= ThumpAgainstSpeechDb));
    }

    /// <param name="alone">What the mic shows by itself: neither a lost link nor hum is wind.</param>
    public static Gusts Find(Rumble mic, IReadOnlyList<Rumble> others, OwnFaults alone)
    {
        bool[] blows = Blowing(mic, others);
        bool[] lost = alone.LostWithWake(blows.Length);
        List<(int First, int End)> spans =
        [
            .. FaultSpans.Of(Steps.Of(blows.Length, i => blows[i] && !lost[i]), neighbourhood: 81, share: 0.5, apart: 100)
                .Where(span => span.End - span.First >= Shortest && !FaultSpans.MostlyIn(span, alone.Hum)),
        ];
        if (spans.Count > 0)
        {
            float[] deepDb = DeepDb(mic.Track);
            spans = [.. spans.Select(span => Exactly(deepDb, span)).Where(span => span.End - span.First >= Shortest)];
        }

        return new Gusts(spans, Steps.Of(blows.Length, i => blows[i] && mic.Strong[i]));
    }

    private static float[] SmoothDb(MicTrack track) => SpeechBands.InDb(
        Running.Mean(track.Count, i => SpeechBands.Sum(track.Levels(track.First + i)[..LowBands]), HalfWidth));

    /// <summary>By how much that stands above the speech beside it.</summary>
    private static float[] ShareDb(MicTrack track, float[] smoothDb)
    {
        // The mean of decibels, not of power: the gaps between syllables count too, and there wind shows.
        float[] smoothSpeech = Running.Mean(
            track.Count, i => SpeechBands.Db(SpeechBands.Sum(track.Levels(track.First + i)[FirstSpeech..EndSpeech])), HalfWidth);
        TensorPrimitives.Subtract(smoothDb, smoothSpeech, smoothSpeech);
        return smoothSpeech;
    }

    /// <summary>Under 78 Hz, over 50 ms.</summary>
    private static float[] DeepDb(MicTrack track) => SpeechBands.InDb(
        Running.Mean(track.Count, i => SpeechBands.Sum(track.Levels(track.First + i)[..1]), 2));

    private static bool[] Blowing(Rumble mic, IReadOnlyList<Rumble> others)
    {
        bool[] found = [.. mic.Shows];
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

    /// <summary>
    /// From where the wind stands out from the rumble before it to where it sinks into the rumble after it, judged under all voices;
    /// empty where it is so rarely near its highest that it was no wind but a volley of knocks.
    /// </summary>
    private static (int First, int End) Exactly(float[] deepDb, (int First, int End) span)
    {
        float highest = deepDb[span.First..span.End].Max();
        float edge = Math.Clamp(RumbleBeside(deepDb, span) + AboveRumbleDb, highest - LowestEdgeDb, highest - HighestEdgeDb);
        (int first, int end) = FaultSpans.Reaching(span, deepDb.Length, LongestLull, i => deepDb[i] >= edge);
        int from = Array.FindIndex(deepDb, first, end - first, db => db >= edge);
        int to = Array.FindLastIndex(deepDb, end - 1, end - first, db => db >= edge) + 1;
        int blowing = from < 0 ? 0 : deepDb[from..to].Count(db => db >= highest - BlowingDb);
        return blowing >= BlowingShare * (to - from) ? (from, to) : (span.First, span.First);
    }

    /// <summary>What the deep band hardly ever passes within 2.5 s before and after.</summary>
    private static float RumbleBeside(float[] deepDb, (int First, int End) span)
    {
        int from = Math.Max(0, span.First - Beside), to = Math.Min(deepDb.Length, span.End + Beside);
        float[] outside = [.. deepDb[from..Math.Max(from, span.First - Gap)], .. deepDb[Math.Min(to, span.End + Gap)..to]];
        return outside.Length == 0 ? float.NegativeInfinity : Statistics.Quantile<float>(outside, 0.95);
    }

    private static bool HearsTheSame(Rumble mic, Rumble other, int from, int to)
    {
        int shift = mic.Track.First - other.Track.First;
        if (from + shift < 0 || to + shift > other.SmoothDb.Length)
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
            && Correlation(LowDb(mic.Track, from, to), LowDb(other.Track, from + shift, to + shift)) >= Alike;
    }

    private static float[] LowDb(MicTrack track, int from, int to) => SpeechBands.InDb(
        Steps.Of(to - from, i => SpeechBands.Sum(track.Levels(track.First + from + i)[..LowBands])));

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
