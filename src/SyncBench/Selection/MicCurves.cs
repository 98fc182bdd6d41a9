using SyncBench.Time;

namespace SyncBench.Selection;

/// <summary>Draws how a mic sounds along a take, coarse enough for a picture.</summary>
internal static class MicCurves
{
    private const int StepsEach = 25;

    /// <summary>One value every 250 ms of the whole take: mean level and noise, highest peak.</summary>
    public static MicCurve Of(MicTrack track, TakeGrid grid)
    {
        int count = (grid.Steps + StepsEach - 1) / StepsEach;
        var level = new float[count];
        var noise = new float[count];
        var peak = new float[count];
        for (int i = 0; i < count; i++)
        {
            int from = Math.Max(track.First, i * StepsEach), to = Math.Min(track.End, (i + 1) * StepsEach);
            (level[i], noise[i], peak[i]) = from < to ? Mean(track, from, to) : (float.NaN, float.NaN, float.NaN);
        }

        return new MicCurve(
            track.Source, grid.Start, MediaTime.FromMilliseconds(10 * StepsEach), [.. level], [.. noise], [.. peak]);
    }

    private static (float LevelDb, float NoiseDb, float PeakDb) Mean(MicTrack track, int from, int to)
    {
        float level = 0, peak = float.NegativeInfinity;
        for (int step = from; step < to; step++)
        {
            level += SpeechBands.Power(track.Levels(step)) / (to - from);
            peak = Math.Max(peak, track.PeakDb(step));
        }

        return (10 * MathF.Log10(level), 10 * MathF.Log10(SpeechBands.Power(track.Noise((from + to) / 2))), peak);
    }
}
