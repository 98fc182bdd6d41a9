namespace SyncBench.Selection.Speakers;

/// <summary>The likeliest course of a talk, hop by hop, in which every stretch has a least length.</summary>
/// <remarks>
/// A Viterbi search (A. J. Viterbi, IEEE Trans. Information Theory 13(2), 1967) over <see cref="Speaking"/>. A stretch is
/// entered with its least length at once: best[s][t] = max(best[s][t−1] + e, best[r][t−m] + Σe over m − price).
/// </remarks>
internal static class TalkPath
{
    private const int States = 4;

    /// <summary>Log-likelihood that a change costs.</summary>
    private const float ChangePrice = 5;

    /// <summary>Two at once are rare: what comes on top where <see cref="Speaking.Both"/> begins.</summary>
    private const float BothPrice = 3;

    /// <summary>In hops of 50 ms: a pause of 0.2 s, speech of 0.7 s.</summary>
    private static readonly int[] Shortest = [4, 14, 14, 14];

    /// <param name="subject">For each hop the log-likelihood of "the subject speaks" over "does not".</param>
    /// <param name="interviewer">The same of the interviewer; as long.</param>
    public static Speaking[] Likeliest(float[] subject, float[] interviewer)
    {
        int hops = subject.Length;
        var sums = new double[States, hops + 1];
        for (int hop = 0; hop < hops; hop++)
        {
            for (int state = 0; state < States; state++)
            {
                double evidence = ((state & 1) != 0 ? subject[hop] : 0) + ((state & 2) != 0 ? interviewer[hop] : 0);
                sums[state, hop + 1] = sums[state, hop] + evidence;
            }
        }

        var best = new double[States, hops + 1];
        var cameFrom = new sbyte[States, hops + 1]; // −1: the stretch goes on
        for (int at = 0; at <= hops; at++)
        {
            for (int state = 0; state < States; state++)
            {
                best[state, at] = at == 0 ? 0 : best[state, at - 1] + sums[state, at] - sums[state, at - 1];
                cameFrom[state, at] = -1;
                int began = at - Shortest[state];
                for (int before = 0; began > 0 && before < States; before++)
                {
                    double price = ChangePrice + (state == (int)Speaking.Both ? BothPrice : 0);
                    double entered = best[before, began] + sums[state, at] - sums[state, began] - price;
                    if (before != state && entered > best[state, at])
                    {
                        best[state, at] = entered;
                        cameFrom[state, at] = (sbyte)before;
                    }
                }
            }
        }

        return Backwards(best, cameFrom, hops);
    }

    private static Speaking[] Backwards(double[,] best, sbyte[,] cameFrom, int hops)
    {
        var path = new Speaking[hops];
        int state = Enumerable.Range(0, States).MaxBy(s => best[s, hops]);
        for (int at = hops; at > 0;)
        {
            int before = cameFrom[state, at];
            int length = before < 0 ? 1 : Shortest[state];
            Array.Fill(path, (Speaking)state, at - length, length);
            at -= length;
            state = before < 0 ? state : before;
        }

        return path;
    }
}
