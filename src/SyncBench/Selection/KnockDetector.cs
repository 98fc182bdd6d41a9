namespace SyncBench.Selection;

/// <summary>Tells knocks from all else that is loud and low on one mic.</summary>
/// <remarks>
/// A knock on a stand, a table or the mic itself is over in a tenth of a second or two and comes alone or in volleys; wind is
/// low too but goes on, and cloth has bumps of its own. Common practice; thresholds tuned on made knocks.
/// </remarks>
internal static class KnockDetector
{
    /// <summary>Steps that a knock stays within 10 dB of its highest, at most.</summary>
    private const int Longest = 15;

    /// <summary>Knocks nearer than 0.8 s are one volley.</summary>
    private const int Apart = 80;

    /// <summary>8 dB, which a knock rises within 30 ms and falls within a few hundredths of a second; a voice takes its time to rise.</summary>
    private const float Rise = 6.3f;
    private const int FallSteps = 7;

    /// <summary>6 dB, by which what is under 300 Hz stands above what is up to 1 kHz.</summary>
    private const float Tilt = 4;

    /// <summary>5 dB and 3 dB: within 0.5 s of a volley a fainter knock, or one in a vowel, is one of it.</summary>
    private const float FaintRise = 3.2f;
    private const float FaintTilt = 2;
    private const int FaintApart = 50;

    /// <summary>Half decibels by which a single knock stands out; several in a row speak for each other.</summary>
    private const int Alone = 32;

    /// <param name="struck">By how much each step stands out, in half decibels; 0 where it does not.</param>
    /// <param name="other">Steps that another fault explains.</param>
    public static List<(int First, int End)> Find(MicTrack track, byte[] struck, bool[] other)
    {
        var knocks = new bool[struck.Length];
        var strong = new bool[struck.Length];
        var faint = new bool[struck.Length];
        foreach ((int first, int end) in FaultSpans.Runs([.. struck.Select(excess => excess > 0)]))
        {
            if (other.AsSpan(first, end - first).Contains(true))
            {
                continue;
            }

            Array.Fill(faint, IsSudden(track, first, end, FaintRise, FaintTilt), first, end - first);
            if (IsSudden(track, first, end, Rise, Tilt))
            {
                Array.Fill(knocks, true, first, end - first);
                strong[first] = struck.AsSpan(first, end - first).ContainsAnyInRange((byte)RustleDetector.KnockExcess, byte.MaxValue);
            }
        }

        return FaultSpans.Merged(FaultSpans.Of(knocks, neighbourhood: 1, share: 0, Apart)
            .Where(span =>
                strong.AsSpan(span.First, span.End - span.First).Count(true) > 1
                || struck.AsSpan(span.First, span.End - span.First).ContainsAnyInRange((byte)Alone, byte.MaxValue))
            .Select(span => FaultSpans.Reaching(span, struck.Length, FaintApart, i => faint[i])));
    }

    private static bool IsSudden(MicTrack track, int first, int end, float rise, float tilt)
    {
        float highest = 0;
        bool strikes = false;
        for (int i = first; i < end; i++)
        {
            highest = Math.Max(highest, Low(i));
            strikes |= Thump(i) >= rise * Math.Min(Thump(i - 2), Thump(i - 3)) && Thump(i) >= tilt * Mid(i);
        }

        float limit = highest / rise;
        int near = 0, longest = 0;
        for (int i = first; i < end; i++)
        {
            near = Low(i) * 10 >= highest ? near + 1 : 0;
            longest = Math.Max(longest, near);
        }

        return strikes && longest <= Longest && Enumerable.Range(end + 2, FallSteps).Any(i => Low(i) < limit);

        float Low(int i) => SpeechBands.Sum(Levels(i)[1..SpeechBands.FirstMid]);
        float Thump(int i) => SpeechBands.Sum(Levels(i)[..SpeechBands.FirstMid]);
        float Mid(int i) => SpeechBands.Sum(Levels(i)[SpeechBands.FirstMid..SpeechBands.FirstHigh]);
        ReadOnlySpan<byte> Levels(int i) => track.Levels(track.First + Math.Clamp(i, 0, track.Count - 1));
    }
}
