namespace SyncBench.Selection;

/// <summary>Tells knocks from all else that is loud and low on one mic.</summary>
/// <remarks>
/// A knock on a stand, a table or the mic itself is low and sudden, is over in a tenth of a second or two, no other mic hears it as
/// loud, and it comes alone or in volleys of a few a second. Each sudden rise under 300 Hz says whether it is one
/// (<see cref="KnockEvidence"/>); so a weak one counts beside strong ones.
/// Knocks of a volley come as a Poisson process, so each second of it without one speaks against it, and the likeliest course of
/// volleys counts (dynamic programming).
/// </remarks>
internal static class KnockDetector
{
    /// <summary>3 dB within 30 ms: how much it says beyond that, its evidence weighs.</summary>
    private const float Sudden = 2;

    /// <summary>Steps around a rise of which it is the highest.</summary>
    private const int Near = 3;

    /// <summary>A knock has fallen by 20 dB in some 50 ms.</summary>
    private const int Lasts = 5;

    /// <summary>A knock that is heard as such is expected every 0.36 s.</summary>
    private const double PerStep = 0.028;

    /// <summary>Of a volley to begin, and what must speak for it beyond that, for they are rare.</summary>
    private const double PriceOfVolley = 6;
    private const double Sure = 6;

    /// <param name="explained">Steps that another fault explains.</param>
    public static List<(int First, int End)> Find(MicTrack track, KnockEvidence evidence, bool[] explained)
    {
        List<(int Step, double Evidence)> rises = [];
        for (int step = Near; step < track.Count - Near - 1; step++)
        {
            if (IsRise(track, step) && !explained.AsSpan(step - 1, Near + 2).Contains(true))
            {
                rises.Add((step, evidence.Of(step)));
            }
        }

        return FaultSpans.Merged(Volleys(rises).Select(volley =>
            FaultSpans.Widened((volley.First, Math.Min(track.Count, volley.Last + Lasts)), track.Count)));
    }

    /// <summary>Whether the level rises by more at a step than near it; of equals the first counts.</summary>
    private static bool IsRise(MicTrack track, int step)
    {
        float here = KnockEvidence.Rise(track, step);
        if (here < Sudden)
        {
            return false;
        }

        for (int near = 1; near <= Near; near++)
        {
            if (KnockEvidence.Rise(track, step - near) >= here || KnockEvidence.Rise(track, step + near) > here)
            {
                return false;
            }
        }

        return true;
    }

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
