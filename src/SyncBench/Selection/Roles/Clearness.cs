using SyncBench.Alignment;

namespace SyncBench.Selection.Roles;

/// <summary>How far speech stands over what fills the pauses between words: the room's echo and noise.</summary>
/// <remarks>
/// In each band the level that is reached in 5 of 100 steps less the one that is reached in 90, weighted by the importance of
/// the bands for speech. The channel's gain does not count. Both a closer mic and one that is turned to the talker score higher.
/// </remarks>
internal static class Clearness
{
    private const double Loud = 0.95, Quiet = 0.10;

    /// <summary>A gate between words makes pauses quieter than any room: no more counts.</summary>
    private const float WidestDb = 50;

    /// <returns>dB.</returns>
    internal static float Of(BandLevels levels)
    {
        var counts = new int[BandLevels.Bands, 256];
        for (int step = 0; step < levels.Steps; step++)
        {
            ReadOnlySpan<byte> bands = levels.Step(step);
            for (int band = SpeechBands.First; band < bands.Length; band++)
            {
                counts[band, bands[band]]++;
            }
        }

        float sum = 0;
        for (int band = SpeechBands.First; band < BandLevels.Bands; band++)
        {
            float span = (Reached(counts, band, Loud * levels.Steps) - Reached(counts, band, Quiet * levels.Steps)) * 0.5f;
            sum += SpeechBands.Importance[band] * Math.Min(span, WidestDb);
        }

        return sum;
    }

    private static int Reached(int[,] counts, int band, double steps)
    {
        int seen = 0, level = 0;
        while (level < 255 && (seen += counts[band, level]) < steps)
        {
            level++;
        }

        return level;
    }
}
