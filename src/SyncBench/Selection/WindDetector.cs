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

    /// <summary>±20 ms.</summary>
    private const int DeepHalfWidth = 2;

    /// <summary>Four fifths of a gust are louder than what is looked for at its edges.</summary>
    private const float GustShare = 0.2f;

    /// <summary>4 dB: as little a gust stands above the rumble.</summary>
    private const float LeastOverRumble = 2.5f;

    /// <summary>−26 dB: under this it is not heard beside the gust.</summary>
    private const float LeastShareOfHighest = 0.0025f;
    private const float SurestStep = 4;
    private const float Settled = 25;

    /// <summary>2.5 s, but for the 0.3 s next to it.</summary>
    private const int Beside = 250;
    private const int Gap = 30;
    private const float CalmShare = 0.4f;

    /// <summary>−14 dB.</summary>
    private const float BlowingShareOfHighest = 0.04f;
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
            float[] deep = Deep(mic.Track);
            spans = [.. spans.Select(span => Exactly(deep, span)).Where(span => span.End - span.First >= Shortest)];
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

    /// <summary>Under 78 Hz.</summary>
    private static float[] Deep(MicTrack track) => Steps.Of(track.Count, i => SpeechBands.Power(track.Levels(track.First + i)[0]));

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
    /// Between the likeliest points of change from rumble to wind and back, judged under all voices; empty where it is so rarely near its
    /// highest that it was no wind but a volley of knocks.
    /// </summary>
    private static (int First, int End) Exactly(float[] deep, (int First, int End) span)
    {
        float[] within = Running.Mean(span.End - span.First, i => deep[span.First + i], DeepHalfWidth);
        float highest = within.Max();
        int loudest = span.First + Array.IndexOf(within, highest);
        float gust = Statistics.Quantile<float>(within, GustShare); // puts them in another order

        // What is heard beside a part of a gust may be the rest of it, so the calmer side counts until the whole is known.
        float calmer = Math.Min(RumbleBeside(deep, span, -1), RumbleBeside(deep, span, 1));
        (int First, int End) whole = (Change(-1, calmer), Change(1, calmer) + 1);
        (int First, int End) exact = (Change(-1, RumbleBeside(deep, whole, -1)), Change(1, RumbleBeside(deep, whole, 1)) + 1);
        float[] blown = Running.Mean(exact.End - exact.First, i => deep[exact.First + i], DeepHalfWidth);
        return blown.Count(power => power >= BlowingShareOfHighest * highest) >= BlowingShare * blown.Length ? exact : (span.First, span.First);

        int Change(int direction, float beside)
        {
            float rumble = Math.Max(beside, LeastShareOfHighest * highest), wind = Math.Max(gust, LeastOverRumble * rumble);
            return FaultSpans.LastOf(i => Likelier(deep[i], wind, rumble), deep.Length, loudest, direction, Settled);
        }
    }

    /// <summary>
    /// Logarithm of how much likelier a power is that of wind than of rumble. Either is noise in a narrow band over a short time, whose
    /// power is spread as an exponential distribution about its mean.
    /// </summary>
    private static float Likelier(float power, float wind, float rumble) =>
        Math.Min((power / rumble) - (power / wind) - MathF.Log(wind / rumble), SurestStep);

    /// <summary>
    /// Mean of the deep band within 2.5 s before or after, or where the mic does not roll there, on the other side: read from its lower
    /// part, for there may be another gust.
    /// </summary>
    private static float RumbleBeside(float[] deep, (int First, int End) span, int direction)
    {
        float[] before = deep[Math.Max(0, span.First - Beside)..Math.Max(0, span.First - Gap)];
        float[] after = deep[Math.Min(deep.Length, span.End + Gap)..Math.Min(deep.Length, span.End + Beside)];
        float[] beside = (direction < 0 ? before.Length > Gap : after.Length <= Gap) ? before : after;
        return beside.Length == 0 ? 0 : Statistics.Quantile<float>(beside, CalmShare) / -MathF.Log(1 - CalmShare);
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
