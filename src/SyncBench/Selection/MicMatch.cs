using SyncBench.Alignment;

namespace SyncBench.Selection;

/// <summary>By how much one mic hears the talkers louder than another, band by band, over the time both roll.</summary>
/// <remarks>
/// Medians over speech that stands clear of the noise in both and does not fall: where it falls its echo is heard, which is as loud at
/// every mic, and above 1 kHz, where there is little but hisses, most of what is heard is their echo. Two who sit apart lie in two
/// clusters: who asks from beside the camera is nearer to its mic than who answers. They are told by 315 to 800 Hz, which cloth and
/// knocks leave alone.
/// </remarks>
internal sealed class MicMatch
{
    private const float Speaking = 0.6f;

    /// <summary>5 dB, coded.</summary>
    private const int Clear = 10;

    private const int FewestSteps = 40;
    private const int MostSteps = 20_000;
    private const int Centre = 256;
    private const short Unclear = short.MinValue;

    /// <summary>What is lower than within the last 80 ms, by 5 dB, coded, may be an echo.</summary>
    internal const int Before = 8;
    internal const int Fallen = 10;

    /// <summary>A hiss belongs to a vowel this near, in steps.</summary>
    private const int ToVowel = 45;

    /// <summary>Half decibels that noise so many half decibels below a level has added to the speech in it.</summary>
    private static readonly int[] Added = [.. Enumerable.Range(0, Centre).Select(above =>
        above == 0 ? 0 : (int)MathF.Round(-20 * MathF.Log10(1 - MathF.Pow(10, above / -20f))))];

    /// <summary>
    /// Clusters this far apart are two talkers. One alone makes two clusters as well, his voice and its echo in the room,
    /// 3 to 7 dB apart in rooms of 0.2 to 0.8 s (scripts/bench answers): nearer ones must come from two places.
    /// </summary>
    public const double TwoTalkersDb = 7.5;

    /// <summary>Of the speech of both, who speaks less.</summary>
    private const double LeastShare = 0.03;

    private const double SureOfTalker = 0.9;

    private MicMatch(float[] halfDb, float[] least, float[] most, bool hearsTwo) =>
        (HalfDb, LeastHalfDb, MostHalfDb, HearsTwo) = (halfDb, least, most, hearsTwo);

    /// <summary>Coded level of the first mic less that of the second, in half decibels, by band: of all that is said.</summary>
    public float[] HalfDb { get; }

    /// <summary>Of the talker for whom it is most; of all where one is heard.</summary>
    public float[] MostHalfDb { get; }

    /// <summary>Of the talker for whom it is least; of all where one is heard.</summary>
    public float[] LeastHalfDb { get; }

    /// <summary>Whether two talkers are told apart.</summary>
    public bool HearsTwo { get; }

    public MicMatch Reversed() => new(Negative(HalfDb), Negative(MostHalfDb), Negative(LeastHalfDb), HearsTwo);

    /// <summary>Null where the two never hear speech together.</summary>
    public static MicMatch? Between(MicTrack first, float[] firstPresence, MicTrack second, float[] secondPresence)
    {
        int from = Math.Max(first.First, second.First), to = Math.Min(first.End, second.End);
        if (to - from < FewestSteps)
        {
            return null;
        }

        int stride = Math.Max(1, (to - from) / MostSteps);
        int[] spoken =
        [
            .. Enumerable.Range(0, (to - from + stride - 1) / stride).Select(i => from + (i * stride))
                .Where(step => firstPresence[step - first.First] > Speaking && secondPresence[step - second.First] > Speaking),
        ];
        var differences = new short[spoken.Length * BandLevels.Bands];
        var mid = new double[spoken.Length];
        for (int i = 0; i < spoken.Length; i++)
        {
            Span<short> row = differences.AsSpan(i * BandLevels.Bands, BandLevels.Bands);
            Differences(first, second, spoken[i], row);
            mid[i] = Mid(row); // an echo tells the talkers, too
            LeaveOutEcho(first, second, spoken[i], row);
        }

        return Medians(differences, _ => true) is { } all ? OfTalkers(spoken, mid, differences, all) : null;
    }

    private static MicMatch OfTalkers(int[] spoken, double[] mid, short[] differences, float[] all)
    {
        var histogram = new double[Centre * 2];
        foreach (double difference in mid.Where(difference => !double.IsNaN(difference)))
        {
            histogram[(int)Math.Round(difference) + Centre]++;
        }

        if (TwoClusters.Of(-Centre, 1, histogram) is not { Separation: >= 2 * TwoTalkersDb, HighShare: >= LeastShare and <= 1 - LeastShare } two)
        {
            return new MicMatch(all, all, all, hearsTwo: false);
        }

        double[] share = WithConsonants(spoken, Array.ConvertAll(mid, two.ShareOfHigh));
        float[]? least = Medians(differences, row => share[row] <= 1 - SureOfTalker);
        float[]? most = Medians(differences, row => share[row] >= SureOfTalker);
        return new MicMatch(all, least ?? all, most ?? all, hearsTwo: least is not null || most is not null);
    }

    /// <summary>A hiss has nothing in the middle bands; it belongs to the talker whose vowel is nearest.</summary>
    private static double[] WithConsonants(int[] spoken, double[] share)
    {
        var all = (double[])share.Clone();
        int before = -1;
        for (int row = 0; row < all.Length; row++)
        {
            if (!double.IsNaN(share[row]))
            {
                before = row;
                continue;
            }

            int after = row + 1;
            while (after < all.Length && double.IsNaN(share[after]) && spoken[after] - spoken[row] <= ToVowel)
            {
                after++;
            }

            int since = before < 0 ? int.MaxValue : spoken[row] - spoken[before];
            int until = after == all.Length ? int.MaxValue : spoken[after] - spoken[row];
            if (Math.Min(since, until) <= ToVowel)
            {
                all[row] = share[since <= until ? before : after];
            }
        }

        return all;
    }

    private static void Differences(MicTrack first, MicTrack second, int step, Span<short> differences)
    {
        ReadOnlySpan<byte> left = first.Levels(step), right = second.Levels(step);
        ReadOnlySpan<byte> leftNoise = first.Noise(step), rightNoise = second.Noise(step);
        for (int band = 0; band < left.Length; band++)
        {
            differences[band] = left[band] - leftNoise[band] >= Clear && right[band] - rightNoise[band] >= Clear
                ? (short)(left[band] - Added[left[band] - leftNoise[band]] - right[band] + Added[right[band] - rightNoise[band]])
                : Unclear;
        }
    }

    private static void LeaveOutEcho(MicTrack first, MicTrack second, int step, Span<short> differences)
    {
        ReadOnlySpan<byte> left = first.Levels(step), right = second.Levels(step);
        for (int before = 1; before <= Before; before++)
        {
            ReadOnlySpan<byte> wasLeft = first.Levels(Math.Max(first.First, step - before)), wasRight = second.Levels(Math.Max(second.First, step - before));
            for (int band = 0; band < differences.Length; band++)
            {
                differences[band] = left[band] < wasLeft[band] - Fallen || right[band] < wasRight[band] - Fallen ? Unclear : differences[band];
            }
        }
    }

    /// <summary>Mean of the middle bands of a step; NaN where most are not clear.</summary>
    private static double Mid(ReadOnlySpan<short> differences)
    {
        int sum = 0, clear = 0;
        foreach (short difference in differences[SpeechBands.FirstMid..SpeechBands.FirstHigh])
        {
            (sum, clear) = difference == Unclear ? (sum, clear) : (sum + difference, clear + 1);
        }

        return clear * 2 > SpeechBands.FirstHigh - SpeechBands.FirstMid ? (double)sum / clear : double.NaN;
    }

    /// <summary>By band, over the steps that count; a band in which too little was clear takes the value of the nearest that has enough.</summary>
    /// <returns>Null where none has.</returns>
    private static float[]? Medians(short[] differences, Predicate<int> counts)
    {
        var found = new float[BandLevels.Bands];
        var counted = new int[Centre * 2];
        for (int band = 0; band < found.Length; band++)
        {
            Array.Clear(counted);
            int clear = 0;
            for (int row = 0; row < differences.Length / BandLevels.Bands; row++)
            {
                short difference = differences[(row * BandLevels.Bands) + band];
                if (difference != Unclear && counts(row))
                {
                    counted[difference + Centre]++;
                    clear++;
                }
            }

            found[band] = clear >= FewestSteps ? Median(counted, clear) - Centre : float.NaN;
        }

        int[] enough = [.. Enumerable.Range(0, found.Length).Where(band => !float.IsNaN(found[band]))];
        return enough.Length == 0 ? null : [.. found.Select((_, band) => found[enough.MinBy(other => Math.Abs(other - band))])];
    }

    private static int Median(int[] counts, int total)
    {
        int seen = 0, value = 0;
        while ((seen += counts[value]) * 2 < total)
        {
            value++;
        }

        return value;
    }

    private static float[] Negative(float[] halfDb) => [.. halfDb.Select(x => -x)];
}
