using SyncBench.Alignment;

namespace SyncBench.Selection;

/// <summary>By how much one mic hears the talker louder than another, band by band, over the time both roll.</summary>
/// <remarks>The median over speech that stands clear of the noise in both.</remarks>
internal sealed class MicMatch
{
    private const float Speaking = 0.6f;

    /// <summary>5 dB, coded.</summary>
    private const int Clear = 10;

    private const int FewestSteps = 40;
    private const int MostSteps = 20_000;
    private const int Centre = 256;

    /// <summary>Half decibels that noise so many half decibels below a level has added to the speech in it.</summary>
    private static readonly int[] Added = [.. Enumerable.Range(0, Centre).Select(above =>
        above == 0 ? 0 : (int)MathF.Round(-20 * MathF.Log10(1 - MathF.Pow(10, above / -20f))))];

    private MicMatch(float[] halfDb) => HalfDb = halfDb;

    /// <summary>Coded level of the first mic less that of the second, in half decibels, by band.</summary>
    public float[] HalfDb { get; }

    public MicMatch Reversed() => new([.. HalfDb.Select(x => -x)]);

    /// <summary>Null where the two never hear speech together.</summary>
    public static MicMatch? Between(MicTrack first, float[] firstPresence, MicTrack second, float[] secondPresence)
    {
        int from = Math.Max(first.First, second.First), to = Math.Min(first.End, second.End);
        if (to - from < FewestSteps)
        {
            return null;
        }

        var counts = new int[BandLevels.Bands * Centre * 2];
        var totals = new int[BandLevels.Bands];
        int stride = Math.Max(1, (to - from) / MostSteps);
        for (int step = from; step < to; step += stride)
        {
            if (firstPresence[step - first.First] > Speaking && secondPresence[step - second.First] > Speaking)
            {
                Count(first, second, step, counts, totals);
            }
        }

        return Filled(counts, totals);
    }

    private static void Count(MicTrack first, MicTrack second, int step, int[] counts, int[] totals)
    {
        ReadOnlySpan<byte> left = first.Levels(step), right = second.Levels(step);
        ReadOnlySpan<byte> leftNoise = first.Noise(step), rightNoise = second.Noise(step);
        for (int band = 0; band < left.Length; band++)
        {
            if (left[band] - leftNoise[band] >= Clear && right[band] - rightNoise[band] >= Clear)
            {
                int difference = left[band] - Added[left[band] - leftNoise[band]] - right[band] + Added[right[band] - rightNoise[band]];
                counts[(band * Centre * 2) + Centre + difference]++;
                totals[band]++;
            }
        }
    }

    /// <summary>A band in which too little speech was clear takes the value of the nearest that has enough.</summary>
    private static MicMatch? Filled(int[] counts, int[] totals)
    {
        if (totals.Max() < FewestSteps)
        {
            return null;
        }

        var halfDb = new float[BandLevels.Bands];
        for (int band = 0; band < halfDb.Length; band++)
        {
            int nearest = Enumerable.Range(0, halfDb.Length)
                .Where(other => totals[other] >= FewestSteps)
                .MinBy(other => Math.Abs(other - band));
            halfDb[band] = Median(counts.AsSpan(nearest * Centre * 2, Centre * 2), totals[nearest]) - Centre;
        }

        return new MicMatch(halfDb);
    }

    private static int Median(ReadOnlySpan<int> counts, int total)
    {
        int seen = 0, value = 0;
        while ((seen += counts[value]) * 2 < total)
        {
            value++;
        }

        return value;
    }
}
