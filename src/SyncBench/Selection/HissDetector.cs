using SyncBench.Alignment;
using SyncBench.Signal;

namespace SyncBench.Selection;

/// <summary>Finds hiss: steady noise from 2.5 kHz up that sets in and stops, or that is there throughout and steeper than any room's.</summary>
/// <remarks>
/// What the high bands never fall below within a second, before or after, is judged, so that neither consonants nor cloth count.
/// Hiss of electronics is white or steeper, noise of rooms is pink or falling (common practice): third octaves of white noise
/// rise by 1 dB each. Thresholds tuned on made hiss.
/// </remarks>
internal static class HissDetector
{
    private const int FirstHigh = 15; // 2.5 kHz
    private const int FirstMid = 8; // 500 Hz
    private const int EndMid = 12; // up to 1.1 kHz

    /// <summary>Steps averaged before the lowest is sought: 50 ms, for single windows of noise scatter by some decibels.</summary>
    private const int HalfWidth = 2;
    private const int Window = 100;

    private const float AboveUsualDb = 5;
    private const float SteeperDb = 3;
    private const float SteepThroughoutDb = 6.5f;
    private const float AudibleDb = -66;
    private const float AudibleThroughoutDb = -56;
    private const float EdgeDb = 3.5f;
    private const double UsualLeast = 0.25;

    /// <summary>White noise.</summary>
    private const float UsualTiltDb = 1;
    private const int Apart = 50;
    private const int Shortest = 90;

    /// <summary>Noise keeps to its level: this share of the time the high bands are within so much of their lowest.</summary>
    private const float SteadyShare = 0.33f;
    private const float SteadyDb = 3.5f;

    /// <summary>Stretches of hiss in steps from <see cref="MicTrack.First"/>, end exclusive.</summary>
    public static List<(int First, int End)> Find(MicTrack track)
    {
        float[] lowMid = Running.LowestFrom(Smoothed(track, FirstMid, EndMid), Window);
        float[] high = Smoothed(track, FirstHigh, BandLevels.Bands), lowHigh = Running.LowestFrom([.. high], Window);
        float usual = Usual(Floor), usualTilt = Usual(Tilt);
        if (usual >= AudibleThroughoutDb && usualTilt >= SteepThroughoutDb)
        {
            return [(0, track.Count)];
        }

        bool[] shown = Steps.Of(
            track.Count, i => Floor(i) >= Math.Max(AudibleDb, usual + AboveUsualDb) && Tilt(i) >= usualTilt + SteeperDb
                && IsSteady(high, Begins(lowHigh, i), Floor(i)));
        List<(int First, int End)> spans =
            [.. FaultSpans.Of(shown, neighbourhood: 1, share: 0, Apart).Where(span => span.End - span.First >= Shortest)];
        return [.. spans.Select(span => Exactly(track, span)).Where(span => span.End - span.First >= Shortest)];

        float Floor(int step) => lowHigh[Begins(lowHigh, step)];

        // By how much the high bands' lowest stands above that of the middle bands in the same window.
        float Tilt(int step) => Floor(step) - lowMid[Begins(lowHigh, step)];

        float Usual(Func<int, float> of) => track.Count == 0 ? 0 : Statistics.Quantile<float>(Steps.Of(track.Count, of), 0.3);
    }

    /// <summary>Where the window begins that falls less low: the one that begins here, or the one that ends here.</summary>
    private static int Begins(float[] lowHigh, int step)
    {
        int ending = Math.Max(0, step - Window + 1);
        return lowHigh[ending] > lowHigh[step] ? ending : step;
    }

    /// <summary>Whether the high bands are often near the lowest that they fall to in the window that begins here.</summary>
    private static bool IsSteady(float[] high, int first, float lowest)
    {
        int window = Math.Min(Window, high.Length - first), near = 0;
        foreach (float db in high.AsSpan(first, window))
        {
            near += db <= lowest + SteadyDb ? 1 : 0;
        }

        return near >= SteadyShare * window;
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
    private static float[] Smoothed(MicTrack track, int firstBand, int endBand)
    {
        return SpeechBands.InDb(Running.Mean(track.Count, Power, HalfWidth));

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
}
