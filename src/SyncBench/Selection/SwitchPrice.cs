namespace SyncBench.Selection;

/// <summary>What a change of mic costs at each step: little in a pause, much inside speech, where it is heard.</summary>
internal static class SwitchPrice
{
    /// <summary>dB·s: as bad as listening for one second to a mic that is 3 dB noisier.</summary>
    public const float InPause = 3;

    public const float InSpeech = 120;

    /// <summary>Where a fault begins or ends the sound changes anyway.</summary>
    public const float AtAFault = 5;

    /// <summary>Where speech hides the edges of a fault, or is what brings it about (a word is clipped where it is loudest): a pause near by is safer.</summary>
    public const float AtAVagueFault = 60;

    /// <summary>Steps before a fault and after it; it may be found by so much too late or too early.</summary>
    public const int FaultMargin = 4;

    private const float Silent = 0.3f;
    private const int ShortestPause = 12;

    /// <summary>How far into a pause a change sits best: a crossfade of up to 50 ms then touches no word.</summary>
    private const int Edge = 12;

    /// <summary>dB·s for a change just before each step, one entry a step of the grid.</summary>
    /// <param name="audible">As <see cref="SpeechPresence.Audible"/>.</param>
    /// <param name="faults">In steps of the grid, those that make a mic unfit.</param>
    public static float[] Of(float[] audible, IEnumerable<(FaultKind Kind, int First, int End)> faults)
    {
        float[] prices = Of(audible);
        foreach ((FaultKind kind, int first, int end) in faults)
        {
            float price = kind is FaultKind.Wind or FaultKind.Rustle or FaultKind.Knock or FaultKind.Clipping ? AtAVagueFault : AtAFault;
            for (int step = Math.Max(0, first - FaultMargin); step <= Math.Min(first, prices.Length - 1); step++)
            {
                prices[step] = Math.Min(prices[step], price);
            }

            for (int step = Math.Max(0, end); step <= Math.Min(end + FaultMargin, prices.Length - 1); step++)
            {
                prices[step] = Math.Min(prices[step], price);
            }
        }

        return prices;
    }

    private static float[] Of(float[] audible)
    {
        var prices = new float[audible.Length];
        Array.Fill(prices, InSpeech);
        int start = 0;
        for (int step = 0; step <= audible.Length; step++)
        {
            if (step < audible.Length && audible[step] < Silent)
            {
                continue;
            }

            if (step - start >= ShortestPause)
            {
                for (int inside = start; inside < step; inside++)
                {
                    int depth = Math.Min(Math.Min(inside - start, step - inside), Edge);
                    prices[inside] = InPause + ((InSpeech - InPause) * 0.1f * (Edge - depth) / Edge);
                }
            }

            start = step + 1;
        }

        return prices;
    }
}
