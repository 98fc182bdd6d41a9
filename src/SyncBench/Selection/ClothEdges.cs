using System.Numerics.Tensors;
using SyncBench.Alignment;
using SyncBench.Signal;

namespace SyncBench.Selection;

/// <summary>Finds where cloth begins and ends that is known to sound in between.</summary>
/// <remarks>
/// A scrape that stands out speaks for itself. Of any other step it counts how far it lies under the usual scrape in the bands
/// in which it is lowest, for a scrape fills all of them, and a voice or a hiss does not: where it lies far under it, there is none; where
/// a voice is as loud, there may be one or none, and the edge lies halfway through what is not known.
/// </remarks>
internal static class ClothEdges
{
    private const int FirstHigh = SpeechBands.FirstHigh;

    /// <summary>Of the ten bands from 1 kHz up, those in which a step is lowest.</summary>
    private const int LowestBands = 6;

    /// <summary>What is fainter than the loudest scrape by more than this is not heard beside it.</summary>
    private const float HeardBesideDb = 20;

    /// <summary>A scrape lasts for some five steps, which all say the same.</summary>
    private const float OfAScrape = 1 / 5f;

    /// <summary>Nothing is beyond all doubt.</summary>
    private const float LeastLikely = 0.01f;

    /// <summary>The next volley is another.</summary>
    private const float Settled = 20;

    /// <summary>From the first scrape of a volley that is heard beside the loudest to the last.</summary>
    /// <param name="cloth">As <see cref="RustleDetector.Handling.Evidence"/> reads it.</param>
    /// <param name="span">Where the scrapes stand out most.</param>
    public static (int First, int End) Exactly(MicTrack track, float[] cloth, (int First, int End) span)
    {
        int[] scrapes = [.. Enumerable.Range(span.First, span.End - span.First).Where(i => cloth[i] > 0)];
        int[] clear = [.. scrapes.Where(i => cloth[i] >= RustleDetector.For)];
        if (clear.Length == 0)
        {
            return span;
        }

        float[] usual = Usual(track, clear);
        float usualDb = Statistics.Median([.. scrapes.Select(LevelDb)]), leastDb = clear.Max(HighDb) - HeardBesideDb;
        int clearest = clear.MaxBy(i => cloth[i]);
        return (
            FaultSpans.HalfwayLastOf(Evidence, cloth.Length, clearest, -1, Settled),
            FaultSpans.HalfwayLastOf(Evidence, cloth.Length, clearest, 1, Settled) + 1);

        float Evidence(int i) =>
            cloth[i] == 0 ? 0
            : cloth[i] > 0 && HighDb(i) >= leastDb ? Math.Min(cloth[i], RustleDetector.For)
            : OfAScrape * MathF.Log(Math.Clamp(1 + ((LevelDb(i) - usualDb) / HeardBesideDb), LeastLikely, 1));

        float LevelDb(int i) => LevelOf(track.Levels(track.First + i), usual);

        float HighDb(int i) => SpeechBands.Db(SpeechBands.Sum(track.Levels(track.First + i)[FirstHigh..]));
    }

    /// <summary>Coded levels of the bands from 1 kHz up in a scrape.</summary>
    private static float[] Usual(MicTrack track, int[] clear) =>
        [.. Enumerable.Range(FirstHigh, BandLevels.Bands - FirstHigh).Select(band =>
            Statistics.Median([.. clear.Select(i => (float)track.Levels(track.First + i)[band])]))];

    /// <summary>Mean over the lowest bands, in dB relative to the usual scrape.</summary>
    private static float LevelOf(ReadOnlySpan<byte> levels, float[] usual)
    {
        Span<float> above = stackalloc float[usual.Length];
        for (int band = 0; band < usual.Length; band++)
        {
            above[band] = levels[FirstHigh + band] - usual[band];
        }

        above.Sort();
        return TensorPrimitives.Average<float>(above[..LowestBands]) / 2;
    }
}
