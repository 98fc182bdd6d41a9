using System.Numerics.Tensors;

namespace SyncBench.Selection;

/// <summary>Tells knocks from all else that is loud and low on one mic.</summary>
/// <remarks>
/// A knock on a stand, a table or the mic itself is low and sudden, is over in a tenth of a second or two, no other mic hears it as
/// loud, and it comes alone or in volleys of a few a second. Each sudden rise under 300 Hz says by its log-likelihood ratio (a
/// logistic regression over the made knocks and all other rises of every other talk for tuning) whether it is one; so a weak one
/// counts beside strong ones.
/// Knocks of a volley come as a Poisson process, so each second of it without one speaks against it, and the likeliest course of
/// volleys counts (dynamic programming).
/// </remarks>
internal static class KnockDetector
{
    private const int FirstLow = 1; // 100 Hz
    private const int EndLow = SpeechBands.FirstMid; // 300 Hz

    /// <summary>5 dB within 30 ms; a voice takes its time to rise.</summary>
    private const float Sudden = 3.2f;

    /// <summary>Steps around a rise of which it is the highest.</summary>
    private const int Near = 3;

    // A knock has fallen within 50 to 120 ms.
    private const int FallsFrom = 5;
    private const int FallsTo = 12;

    /// <summary>A sound comes to two mics a few steps apart.</summary>
    private const int Reach = 2;

    // What each decibel says, up to how many it counts, and how rare knocks are in a volley among other rises.
    private const float PerDbOfLevel = 0.62f;
    private const float MostLevelDb = 18;
    private const float PerDbOfFall = 0.23f;
    private const float PerDbOfRise = 0.37f;
    private const float PerDbOverBefore = 0.07f;
    private const float PerDbOverMid = 0.13f;
    private const float MostDb = 20;
    private const float Rare = -9.3f;

    /// <summary>What sounded 40 to 120 ms before a rise: a knock does not care, a voice that goes on rises by little.</summary>
    private const int BeforeFrom = 4;
    private const int BeforeTo = 12;

    /// <summary>Half decibels: bands up to 1 kHz that lie further under what the mic may read say nothing more.</summary>
    private const float LeastMid = -6;

    /// <summary>A knock that is heard as such is expected every half second.</summary>
    private const double PerStep = 0.02;

    /// <summary>Of a volley to begin, and what must speak for it beyond that, for they are rare.</summary>
    private const double PriceOfVolley = 6;
    private const double Sure = 6;

    /// <summary>Evidence as <see cref="Coded"/> has it, eight to the unit.</summary>
    private const float Codes = 8;

    /// <summary>The code of what no voice can be.</summary>
    public static byte Certain { get; } = Coded(2 * MostLevelDb, 0);

    /// <summary>What the levels of a step say for a knock, as a byte that is never 0.</summary>
    /// <param name="lowHalfDb">By how much the bands under 300 Hz stand above all that the mic may read of the talkers.</param>
    /// <param name="midHalfDb">The same of the bands up to 1 kHz, which a nearer voice lifts as well.</param>
    public static byte Coded(float lowHalfDb, float midHalfDb) =>
        (byte)(1 + (Codes * PerDbOfLevel * Math.Clamp((lowHalfDb - Math.Max(midHalfDb, LeastMid)) / 2, 0, MostLevelDb)));

    /// <param name="struck">As <see cref="Coded"/>, one a step of the mic; 0 where there is nothing to be said.</param>
    /// <param name="explained">Steps that another fault explains.</param>
    /// <param name="others">Mics that would hear a voice, too.</param>
    public static List<(int First, int End)> Find(MicTrack track, byte[] struck, bool[] explained, (MicTrack Track, MicMatch Match)[] others)
    {
        List<(int Step, double Evidence)> rises = [];
        for (int step = Near; step < struck.Length - Near; step++)
        {
            int from = step - 1, to = step + Near + 1;
            byte levels = TensorPrimitives.Max<byte>(struck.AsSpan(from, to - from));
            if (levels > 0 && IsRise(track, step) && !explained.AsSpan(from, to - from).Contains(true))
            {
                rises.Add((step, Evidence(track, others, levels, from, to)));
            }
        }

        return FaultSpans.Merged(Volleys(rises).Select(volley => FaultSpans.Widened((volley.First, volley.Last + Near), struck.Length)));
    }

    /// <summary>Whether the level rises by more at a step than near it.</summary>
    private static bool IsRise(MicTrack track, int step)
    {
        float here = Rise(step);
        if (here < Sudden)
        {
            return false;
        }

        for (int near = step - Near; near <= step + Near; near++)
        {
            if (Rise(near) > here)
            {
                return false;
            }
        }

        return true;

        float Rise(int i) => Low(track, i) / Math.Min(Low(track, i - 2), Low(track, i - 3));
    }

    /// <summary>Logarithm of how much likelier this is with a knock than without.</summary>
    private static double Evidence(MicTrack track, (MicTrack Track, MicMatch Match)[] others, byte levels, int from, int to)
    {
        float fallDb = 0, riseDb = 0;
        for (int step = from; step < to; step++)
        {
            float lowest = float.PositiveInfinity;
            for (int later = step + FallsFrom; later <= step + FallsTo; later++)
            {
                lowest = Math.Min(lowest, Low(track, later));
            }

            fallDb = Math.Max(fallDb, SpeechBands.Db(Low(track, step)) - SpeechBands.Db(lowest));
            riseDb = Math.Max(riseDb, OwnRiseDb(track, others, step));
        }

        float lowDb = MostDbOf(Low, from + 1, Near), midDb = MostDbOf(Mid, from + 1, Near), beforeDb = MostDbOf(Low, from + 1 - BeforeTo, BeforeTo - BeforeFrom + 1);
        double likelier = ((levels - 1) / Codes) + (PerDbOfFall * Math.Clamp(fallDb, 0, MostDb)) + (PerDbOfRise * Math.Clamp(riseDb, 0, MostDb))
            + (PerDbOverBefore * Math.Clamp(lowDb - beforeDb, -MostDb, MostDb)) + (PerDbOverMid * Math.Clamp(lowDb - midDb, -MostDb, MostDb)) + Rare;
        return Math.Log(1 + Math.Exp(likelier)); // other rises come in a volley, too

        float MostDbOf(Func<MicTrack, int, float> power, int first, int steps) =>
            Enumerable.Range(first, steps).Max(step => SpeechBands.Db(power(track, step)));
    }

    /// <summary>By how much the level rises more than the other mics', as far as a voice would stand out of the noise of one of them.</summary>
    private static float OwnRiseDb(MicTrack track, (MicTrack Track, MicMatch Match)[] others, int step)
    {
        float riseDb = RiseDb(track, step), heardDb = others.Length == 0 ? float.PositiveInfinity : 0, otherDb = 0;
        foreach ((MicTrack other, MicMatch match) in others)
        {
            int there = track.First + step - other.First;
            if (there >= 0 && there < other.Count)
            {
                float expectedDb = SpeechBands.Db(Low(track, step)) - (TensorPrimitives.Average<float>(match.MostHalfDb.AsSpan(FirstLow, EndLow - FirstLow)) / 2);
                heardDb = Math.Max(heardDb, expectedDb - SpeechBands.Db(SpeechBands.Sum(other.Noise(track.First + step)[FirstLow..EndLow])));
                otherDb = Math.Max(otherDb, MostRiseDb(other, there));
            }
        }

        return Math.Min(riseDb, heardDb) - otherDb;
    }

    private static float MostRiseDb(MicTrack track, int step) =>
        Enumerable.Range(step - Reach, (2 * Reach) + 1).Max(near => RiseDb(track, near));

    private static float RiseDb(MicTrack track, int step) =>
        SpeechBands.Db(Low(track, step)) - SpeechBands.Db(Math.Min(Low(track, step - 2), Low(track, step - 3)));

    private static float Low(MicTrack track, int step) => Power(track, step, FirstLow, EndLow);

    private static float Mid(MicTrack track, int step) => Power(track, step, EndLow, SpeechBands.FirstHigh);

    private static float Power(MicTrack track, int step, int firstBand, int endBand) =>
        SpeechBands.Sum(track.Levels(track.First + Math.Clamp(step, 0, track.Count - 1))[firstBand..endBand]);

    /// <summary>First and last step of each volley.</summary>
    private static IEnumerable<(int First, int Last)> Volleys(List<(int Step, double Evidence)> rises)
    {
        var best = new double[rises.Count + 1];
        var begins = new int[rises.Count + 1];
        double inside = double.NegativeInfinity;
        int first = 0;
        for (int i = 0; i < rises.Count; i++)
        {
            double stay = i == 0 ? inside : inside - (PerStep * (rises[i].Step - rises[i - 1].Step)), enter = best[i] - PriceOfVolley;
            first = stay >= enter ? first : i;
            inside = Math.Max(stay, enter) + rises[i].Evidence;
            (best[i + 1], begins[i + 1]) = inside > best[i] ? (inside, first) : (best[i], -1);
        }

        for (int i = rises.Count; i > 0;)
        {
            int begin = begins[i];
            if (begin >= 0 && best[i] - best[begin] >= Sure)
            {
                yield return (rises[begin].Step, rises[i - 1].Step);
            }

            i = begin >= 0 ? begin : i - 1;
        }
    }
}
