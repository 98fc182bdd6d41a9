using System.Numerics.Tensors;
using SyncBench.Alignment;
using SyncBench.Signal;

namespace SyncBench.Selection;

/// <summary>Finds hiss: steady noise from 2.5 kHz up that sets in and stops, or that is there throughout and steeper than any room's.</summary>
/// <remarks>
/// What each band never falls below within a second is judged against what it usually never falls below (minimum statistics, as the
/// <see cref="NoiseFloor"/>, but of windows that neither begin before the hiss nor end after it). Hiss lifts all of the high bands and
/// not all of the middle ones; a gain lifts both, dense speech not every one, and cloth none of them steadily. Hiss of electronics is white
/// or steeper, noise of rooms is pink or falling (common practice): third octaves of white noise rise by 1 dB each. Thresholds tuned on
/// made hiss.
/// </remarks>
internal static class HissDetector
{
    private const int FirstHigh = 15; // 2.5 kHz
    private const int FirstMid = 8; // 500 Hz
    private const int EndMid = 12; // up to 1.1 kHz

    /// <summary>Steps averaged before the lowest is sought: 50 ms, for single windows of noise scatter by some decibels.</summary>
    private const int HalfWidth = 2;
    private const int Window = 100;

    private const float RisesDb = 4.2f;
    private const float SteepThroughoutDb = 6.5f;
    private const float AudibleDb = -66;
    private const float AudibleThroughoutDb = -57;
    private const float EdgeDb = 3.5f;
    private const double UsualLeast = 0.25;

    /// <summary>White noise.</summary>
    private const float UsualTiltDb = 1;
    private const int Apart = 50;

    /// <summary>Noise keeps to its level: this share of the time the high bands are within so much of their lowest.</summary>
    private const float SteadyShare = 0.4f;
    private const float SteadyDb = 3;

    /// <summary>Stretches of hiss in steps from <see cref="MicTrack.First"/>, end exclusive.</summary>
    public static List<(int First, int End)> Find(MicTrack track)
    {
        var mid = Lowest.Of(track, FirstMid, EndMid);
        var high = Lowest.Of(track, FirstHigh, BandLevels.Bands);
        if (high.UsualDb >= AudibleThroughoutDb && high.UsualDb - mid.UsualDb >= SteepThroughoutDb)
        {
            return [(0, track.Count)];
        }

        var together = new float[track.Count];
        Smooth(together, track, FirstHigh, BandLevels.Bands);
        bool[] hissing = new bool[track.Count];
        for (int first = 0; first + Window <= track.Count; first++)
        {
            float rise = high.RiseDb[first];
            if (high.UsualDb + rise >= AudibleDb && rise - Math.Max(0, mid.RiseDb[first]) >= RisesDb && IsSteady(together.AsSpan(first, Window)))
            {
                Array.Fill(hissing, true, first, Window);
            }
        }

        return FaultSpans.Merged(FaultSpans.Of(hissing, neighbourhood: 1, share: 0, Apart).Select(span => Exactly(track, span)));
    }

    /// <summary>Whether the high bands are often near the lowest that they fall to.</summary>
    private static bool IsSteady(ReadOnlySpan<float> high)
    {
        float lowest = TensorPrimitives.Min(high);
        int near = 0;
        foreach (float db in high)
        {
            near += db <= lowest + SteadyDb ? 1 : 0;
        }

        return near >= SteadyShare * high.Length;
    }

    /// <summary>From the last time before that hiss is gone to the first time that it is again.</summary>
    private static (int First, int End) Exactly(MicTrack track, (int First, int End) span)
    {
        float gone = Statistics.Quantile<float>(Steps.Of(span.End - span.First, i => Least(track, span.First + i)), UsualLeast) - EdgeDb;
        int middle = (span.First + span.End) / 2, reach = Math.Min(Apart, (span.End - span.First) / 2);
        int first = Math.Min(middle, span.First + reach), end = Math.Max(middle, span.End - reach);
        while (first > 0 && Least(track, first - 1) >= gone)
        {
            first--;
        }

        while (end < track.Count && Least(track, end) >= gone)
        {
            end++;
        }

        return (first, end);
    }

    /// <summary>
    /// dB of the two lowest of the high bands at a step, smoothed: a consonant lifts some of them, so it hides neither end of a hiss,
    /// which lifts all.
    /// </summary>
    private static float Least(MicTrack track, int step)
    {
        int from = track.First + Math.Max(0, step - HalfWidth), end = track.First + Math.Min(track.Count, step + HalfWidth + 1);
        float least = float.PositiveInfinity, second = float.PositiveInfinity;
        for (int band = FirstHigh; band < BandLevels.Bands; band++)
        {
            float power = 0;
            for (int near = from; near < end; near++)
            {
                power += SpeechBands.Power(track.Levels(near)[band]);
            }

            float here = SpeechBands.Db(power / (end - from)) - (UsualTiltDb * (band - FirstHigh));
            (least, second) = here < least ? (here, least) : (least, Math.Min(second, here));
        }

        return (least + second) / 2;
    }

    /// <summary>dB of the mean power of a band over some bands and steps.</summary>
    private static void Smooth(float[] smooth, MicTrack track, int firstBand, int endBand)
    {
        Running.Mean(smooth, Power, HalfWidth);
        SpeechBands.InDb(smooth);

        float Power(int i)
        {
            float power = 0;
            foreach (byte level in track.Levels(track.First + i)[firstBand..endBand])
            {
                power += SpeechBands.Power(level) / (endBand - firstBand);
            }

            return power;
        }
    }

    /// <summary>What some bands never fall below in the window that begins at each step.</summary>
    /// <param name="RiseDb">By how much that is more than usual, of the two bands that rise least.</param>
    /// <param name="UsualDb">What is usual, mean of the bands.</param>
    private sealed record Lowest(float[] RiseDb, float UsualDb)
    {
        private const double Usual = 0.3;

        public static Lowest Of(MicTrack track, int firstBand, int endBand)
        {
            float[] least = Steps.Of(track.Count, _ => float.PositiveInfinity), second = [.. least];
            float[] lowest = new float[track.Count], ranked = new float[track.Count];
            float usualDb = 0;
            for (int band = firstBand; band < endBand; band++)
            {
                Smooth(lowest, track, band, band + 1);
                Running.LowestFrom(lowest, Window);
                lowest.CopyTo(ranked, 0);
                float usual = Statistics.Quantile<float>(ranked, Usual);
                usualDb += usual / (endBand - firstBand);
                for (int i = 0; i < lowest.Length; i++)
                {
                    float here = lowest[i] - usual;
                    (least[i], second[i]) = here < least[i] ? (here, least[i]) : (least[i], Math.Min(second[i], here));
                }
            }

            for (int i = 0; i < least.Length; i++)
            {
                least[i] = (least[i] + second[i]) / 2;
            }

            return new Lowest(RiseDb: least, usualDb);
        }
    }
}
