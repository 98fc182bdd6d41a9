namespace SyncBench.Selection;

/// <summary>Where something lasts that single steps only hint at: the likeliest course of its being there or not (Viterbi, two states).</summary>
internal static class LikeliestCourse
{
    /// <returns>Whether it is there, one entry a step.</returns>
    /// <param name="odds">Logarithm of how much likelier a step is with it than without; asked once, in order.</param>
    /// <param name="priceOfChange">Of its beginning, and again of its end.</param>
    public static bool[] Of(int steps, Func<int, double> odds, double priceOfChange)
    {
        var cameFrom = new (bool Off, bool On)[steps];
        (double off, double on) = (0, -priceOfChange);
        for (int i = 0; i < steps; i++)
        {
            cameFrom[i] = (on - priceOfChange > off, on >= off - priceOfChange);
            (off, on) = (Math.Max(off, on - priceOfChange), Math.Max(on, off - priceOfChange) + odds(i));
        }

        var course = new bool[steps];
        bool state = on - priceOfChange > off;
        for (int i = steps - 1; i >= 0; i--)
        {
            course[i] = state;
            state = state ? cameFrom[i].On : cameFrom[i].Off;
        }

        return course;
    }
}
