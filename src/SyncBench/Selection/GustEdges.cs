using SyncBench.Signal;

namespace SyncBench.Selection;

/// <summary>Finds where a gust begins and ends: at the likeliest points of change from the rumble beside it and back, judged under all voices.</summary>
internal static class GustEdges
{
    /// <summary>±20 ms.</summary>
    private const int HalfWidth = 2;

    /// <summary>Four fifths of a gust are louder than what is looked for at its edges.</summary>
    private const float GustShare = 0.2f;

    /// <summary>With the rumble 4 dB: as little a gust stands above it.</summary>
    private const float LeastOverRumble = 1.5f;

    /// <summary>−26 dB: under this it is not heard beside the gust.</summary>
    private const float LeastShareOfHighest = 0.0025f;
    private const float SurestStep = 4;
    private const float Settled = 25;

    /// <summary>2.5 s, but for the 0.3 s next to it.</summary>
    private const int Beside = 250;
    private const int Gap = 30;
    private const float CalmShare = 0.4f;

    /// <param name="mic">On which it blows.</param>
    /// <param name="span">In which it does, more or less.</param>
    public static (int First, int End) Exactly(Rumble mic, (int First, int End) span)
    {
        float[] within = Running.Mean(span.End - span.First, i => mic.Power(span.First + i), HalfWidth);
        float highest = within.Max();
        int loudest = span.First + Array.IndexOf(within, highest);
        float gust = Statistics.Quantile<float>(within, GustShare); // puts them in another order

        // What is heard beside a part of a gust may be the rest of it, so the calmer side counts until the whole is known.
        float calmer = Math.Min(RumbleBeside(mic, span, -1), RumbleBeside(mic, span, 1));
        (int First, int End) whole = (Change(-1, calmer), Change(1, calmer) + 1);
        return (Change(-1, RumbleBeside(mic, whole, -1)), Change(1, RumbleBeside(mic, whole, 1)) + 1);

        int Change(int direction, float beside)
        {
            float rumble = Math.Max(beside, LeastShareOfHighest * highest), wind = Math.Max(gust - rumble, LeastOverRumble * rumble);
            return FaultSpans.LastOf(
                i => Math.Min(SurestStep, Likelier(mic.Power(i), rumble + mic.Spilt(i), wind)), mic.Track.Count, loudest, direction, Settled);
        }
    }

    /// <summary>
    /// Logarithm of how much likelier a power is that of wind and rumble than that of rumble alone. Either is noise in a narrow band over a
    /// short time, whose power is spread as an exponential distribution about its mean.
    /// </summary>
    public static float Likelier(float power, float rumble, float wind) =>
        (power / rumble) - (power / (rumble + wind)) - MathF.Log(1 + (wind / rumble));

    /// <summary>
    /// Mean power within 2.5 s before or after, or where the mic does not roll there, on the other side: read from its lower
    /// part, for there may be another gust.
    /// </summary>
    private static float RumbleBeside(Rumble mic, (int First, int End) span, int direction)
    {
        float[] before = Powers(mic, span.First - Beside, span.First - Gap), after = Powers(mic, span.End + Gap, span.End + Beside);
        float[] beside = (direction < 0 ? before.Length > Gap : after.Length <= Gap) ? before : after;
        return beside.Length == 0 ? 0 : Statistics.Quantile<float>(beside, CalmShare) / -MathF.Log(1 - CalmShare);
    }

    private static float[] Powers(Rumble mic, int first, int end)
    {
        int from = Math.Max(0, first);
        return Steps.Of(Math.Max(0, Math.Min(mic.Track.Count, end) - from), i => mic.Power(from + i));
    }
}
