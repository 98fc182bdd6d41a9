using SyncBench.Alignment;

namespace SyncBench.Selection;

/// <summary>By how much a mic stands above the noise it usually has, from 250 Hz to 5.6 kHz, step by step.</summary>
/// <param name="Db">Mean over the bands.</param>
/// <param name="UnevenDb">Standard deviation over the bands: a gain raises all alike, a voice and its echo do not.</param>
internal sealed record RaisedNoise(float[] Db, float[] UnevenDb)
{
    private const int FirstBand = 5;
    private const int EndBand = 19;
    private const int Bands = EndBand - FirstBand;

    /// <summary>Levels are those of 70 ms: single steps of a noise scatter by some decibels in each band.</summary>
    private const int HalfWidth = 3;

    /// <summary>Mean level of the bands at a step, dB coded as in <see cref="BandLevels"/>.</summary>
    public static double LevelDb(MicTrack track, int step)
    {
        int sum = 0;
        foreach (byte level in track.Levels(step)[FirstBand..EndBand])
        {
            sum += level;
        }

        return sum / (2.0 * Bands);
    }

    /// <param name="usual">Stretches in which the mic has its usual noise, and some of them lie within its time.</param>
    public static RaisedNoise Of(MicTrack track, (int First, int End)[] usual, int from, int end)
    {
        Span<double> usualDb = stackalloc double[Bands], aboveDb = stackalloc double[Bands];
        MeanDb(track, usual, usualDb);
        var noise = new RaisedNoise(new float[end - from], new float[end - from]);
        for (int step = from; step < end; step++)
        {
            MeanDb(track, [(step - HalfWidth, step + HalfWidth + 1)], aboveDb);
            double sum = 0, squares = 0;
            for (int band = 0; band < Bands; band++)
            {
                double above = aboveDb[band] - usualDb[band];
                sum += above;
                squares += above * above;
            }

            double mean = sum / Bands;
            noise.Db[step - from] = (float)mean;
            noise.UnevenDb[step - from] = (float)Math.Sqrt(Math.Max(0, (squares / Bands) - (mean * mean)));
        }

        return noise;
    }

    private static void MeanDb(MicTrack track, ReadOnlySpan<(int First, int End)> stretches, Span<double> meanDb)
    {
        meanDb.Clear();
        int steps = 0;
        foreach ((int first, int end) in stretches)
        {
            for (int step = Math.Max(first, track.First); step < Math.Min(end, track.End); step++, steps++)
            {
                ReadOnlySpan<byte> levels = track.Levels(step)[FirstBand..EndBand];
                for (int band = 0; band < Bands; band++)
                {
                    meanDb[band] += levels[band];
                }
            }
        }

        for (int band = 0; band < Bands; band++)
        {
            meanDb[band] /= 2 * Math.Max(1, steps);
        }
    }
}
