using System.Numerics.Tensors;

namespace SyncBench.Selection;

/// <summary>How much likelier a sudden rise on one mic is with a knock than without.</summary>
/// <remarks>
/// What is struck resonates at one pitch or two, so a knock stands out of one low band at once: above what the band read just before, above
/// the mic's own noise, and above all that the other mics let expect of the talkers. That band falls again within 50 ms. A voice lifts
/// the bands up to 1 kHz as well, goes on, and is heard by the other mics, too. The weights are a logistic regression over the made
/// knocks and all other rises of talks for tuning, and over the same knocks as if they stood out, against
/// the other mics, by no more than voices do that set in: what is struck in the room is no fault of a mic.
/// </remarks>
internal sealed class KnockEvidence(MicTrack track, bool[] nearer, bool[] thumps, Witness[] others)
{
    private const int FirstLow = 1; // 100 Hz
    private const int EndLow = SpeechBands.FirstMid; // 300 Hz
    private const int End = SpeechBands.FirstHigh; // 1 kHz

    /// <summary>Steps from a rise on in which the bands are highest.</summary>
    private const int Rises = 4;

    // What each decibel says, up to how many it counts, and how rare knocks are in a volley among other rises.
    private const float PerDbOut = 0.55f;
    private const float MostDbOut = 18;
    private const float PerDbOfBandsFall = 0.26f;
    private const float PerDbOfBandsRise = 0.23f;
    private const float PerDbOfMid = -0.17f;
    private const float PerDbOverMid = 0.1f;
    private const float PerDbOfFall = 0.15f;
    private const float PerDbOfOwnRise = 0.21f;
    private const float MostDb = 12;
    private const float Rare = -9.6f;

    /// <summary>Half decibels over its usual noise from where on a band stands out: under 300 Hz it holds few cycles in a step and scatters.</summary>
    private const int AboveOwnNoise = 11;

    /// <summary>One other mic alone may be far off or turned away: 6 dB more are asked then.</summary>
    private const float OneWitnessDb = 6;

    /// <summary>Logarithm of how much likelier this is with a knock than without; 0 where nobody can tell.</summary>
    /// <param name="step">Of the mic, at which its low bands rise.</param>
    public double Of(int step)
    {
        Span<float> outDb = stackalloc float[EndLow], midDb = stackalloc float[End - EndLow];
        bool thump = thumps.AsSpan(step, Rises).Contains(true);
        int witnesses = StandOut(step, outDb, midDb);
        if (witnesses == 0 && !thump)
        {
            return 0;
        }

        int band = Highest(outDb);
        midDb.Sort();
        float bandDb = BandDb(band, step, Rises);
        float standsOutDb = thump ? outDb[band] : Math.Min(MostDbOut, outDb[band] - (witnesses == 1 ? OneWitnessDb : 0));
        double likelier = Rare
            + (PerDbOut * Math.Max(-MostDb, standsOutDb))
            + (PerDbOfBandsFall * Counted(bandDb - BandDb(band, step + 5, 2)))
            + (PerDbOfBandsRise * Counted(bandDb - BandDb(band, step - 6, 5)))
            + (PerDbOfMid * Counted((midDb[^1] + midDb[^2]) / 2))
            + (PerDbOverMid * Counted(LowDb(step, 3) - MidDb(step, 3)))
            + (PerDbOfFall * Counted(LowDb(step, 3) - LowDb(step + 4, 1)))
            + (PerDbOfOwnRise * Counted(Math.Max(OwnRiseDb(step), OwnRiseDb(step + 1))));
        return Math.Log(1 + Math.Exp(likelier)); // other rises come in a volley, too
    }

    /// <summary>Power under 300 Hz over its lesser 20 and 30 ms before.</summary>
    public static float Rise(MicTrack mic, int step) => Low(mic, step) / Math.Min(Low(mic, step - 2), Low(mic, step - 3));

    /// <summary>By how much each band stands above all that it may read, in decibels; a low one also above what it read before.</summary>
    /// <returns>How many other mics hear what is there, at least.</returns>
    private int StandOut(int step, Span<float> outDb, Span<float> midDb)
    {
        outDb.Fill(float.NegativeInfinity);
        midDb.Fill(float.NegativeInfinity);
        Span<float> limit = stackalloc float[End];
        ReadOnlySpan<byte> before = Levels(track, step - 2), sooner = Levels(track, step - 3);
        int fewest = int.MaxValue;
        for (int at = step; at < step + Rises; at++)
        {
            fewest = Math.Min(fewest, Limit(at, limit));
            ReadOnlySpan<byte> levels = Levels(track, at);
            for (int band = 0; band < EndLow; band++)
            {
                float most = Math.Max(limit[band], Math.Min(before[band], sooner[band]));
                outDb[band] = Math.Max(outDb[band], (levels[band] - most) / 2);
            }

            for (int band = EndLow; band < End && at < step + Rises - 1; band++)
            {
                midDb[band - EndLow] = Math.Max(midDb[band - EndLow], (levels[band] - limit[band]) / 2);
            }
        }

        return fewest;
    }

    /// <summary>What each band may read of noise and of the talkers, in half decibels; of a thump it is known that it is no voice.</summary>
    /// <returns>How many other mics hear what is there.</returns>
    private int Limit(int step, Span<float> limit)
    {
        int at = track.First + step, witnesses = 0;
        ReadOnlySpan<byte> noise = track.Noise(at);
        for (int band = 0; band < limit.Length; band++)
        {
            limit[band] = noise[band] + AboveOwnNoise;
        }

        Span<float> lowest = stackalloc float[End], vouched = stackalloc float[End];
        Span<byte> heard = stackalloc byte[End];
        lowest.Fill(float.PositiveInfinity);
        vouched.Clear();
        foreach (Witness other in others)
        {
            if (!thumps[step] && other.Hears(at))
            {
                witnesses++;
                Heard(other.Track, at, heard);
                Witness.Narrow(heard, other.Track.Noise(at), nearer[step] ? other.Match.MostHalfDb : other.Match.HalfDb, 0, lowest, vouched);
            }
        }

        for (int band = 0; band < limit.Length && witnesses > 0; band++)
        {
            limit[band] = Math.Max(limit[band], Math.Max(lowest[band], vouched[band]));
        }

        return witnesses;
    }

    /// <summary>The highest level of each band within reach, and what the room may still answer to.</summary>
    private static void Heard(MicTrack other, int at, Span<byte> heard)
    {
        heard.Clear();
        for (int near = Math.Max(other.First, at - Witness.Answer); near <= Math.Min(other.End - 1, at + Witness.Reach); near++)
        {
            ReadOnlySpan<byte> levels = other.Levels(near);
            for (int band = 0; band < (near < at - Witness.Reach ? EndLow : heard.Length); band++)
            {
                heard[band] = Math.Max(heard[band], levels[band]);
            }
        }
    }

    /// <summary>By how much the level rises more than the other mics', as far as a voice would stand out of the noise of one of them.</summary>
    private float OwnRiseDb(int step)
    {
        float heardDb = others.Length == 0 ? float.PositiveInfinity : 0, otherDb = 0;
        foreach (Witness other in others)
        {
            int there = track.First + step - other.Track.First;
            if (there >= 0 && there < other.Track.Count)
            {
                float expectedDb = LowDb(step, 1) - (TensorPrimitives.Average<float>(other.Match.MostHalfDb.AsSpan(FirstLow, EndLow - FirstLow)) / 2);
                heardDb = Math.Max(heardDb, expectedDb - SpeechBands.Db(SpeechBands.Sum(other.Track.Noise(track.First + step)[FirstLow..EndLow])));
                otherDb = Math.Max(otherDb, MostRiseDb(other.Track, there));
            }
        }

        return Math.Min(SpeechBands.Db(Rise(track, step)), heardDb) - otherDb;
    }

    private static float MostRiseDb(MicTrack mic, int step)
    {
        float most = 0;
        for (int near = step - Witness.Reach; near <= step + Witness.Reach; near++)
        {
            most = Math.Max(most, Rise(mic, near));
        }

        return SpeechBands.Db(most);
    }

    private static int Highest(ReadOnlySpan<float> of)
    {
        int highest = 0;
        for (int i = 1; i < of.Length; i++)
        {
            highest = of[i] > of[highest] ? i : highest;
        }

        return highest;
    }

    private static float Counted(float db) => Math.Clamp(db, -MostDb, MostDb);

    private float BandDb(int band, int from, int steps) => HighestDb(from, steps, band, band + 1);

    private float LowDb(int from, int steps) => HighestDb(from, steps, FirstLow, EndLow);

    private float MidDb(int from, int steps) => HighestDb(from, steps, EndLow, End);

    private float HighestDb(int from, int steps, int firstBand, int endBand)
    {
        float most = 0;
        for (int step = from; step < from + steps; step++)
        {
            most = Math.Max(most, SpeechBands.Sum(Levels(track, step)[firstBand..endBand]));
        }

        return SpeechBands.Db(most);
    }

    private static float Low(MicTrack mic, int step) => SpeechBands.Sum(Levels(mic, step)[FirstLow..EndLow]);

    private static ReadOnlySpan<byte> Levels(MicTrack mic, int step) => mic.Levels(mic.First + Math.Clamp(step, 0, mic.Count - 1));
}
