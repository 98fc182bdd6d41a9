namespace SyncBench.Scenes;

/// <summary>
/// Four bars with drum, bass and chords, the same samples over and over: what a café plays, and the hardest sound for
/// matching, since it matches itself at every repetition.
/// </summary>
public static class MusicLoop
{
    private const int Beats = 16;
    private const double BeatSeconds = 0.6;

    public const double Seconds = Beats * BeatSeconds;

    private static readonly double[] Roots = [110, 87.31, 130.81, 98]; // A, F, C, G: one for each bar
    private static readonly double[] Chord = [1, 1.25, 1.5, 2];

    /// <summary>Root mean square near 0.1.</summary>
    public static float[] Play(int count)
    {
        float[] loop = Loop();
        var music = new float[count];
        for (int n = 0; n < count; n++)
        {
            music[n] = loop[n % loop.Length];
        }

        return music;
    }

    private static float[] Loop()
    {
        var loop = new float[(int)(Seconds * Air.SampleRateHz)];
        var random = new SeededRandom(1, "drums");
        for (int beat = 0; beat < Beats; beat++)
        {
            int at = (int)(beat * BeatSeconds * Air.SampleRateHz), half = (int)(BeatSeconds / 2 * Air.SampleRateHz);
            double root = Roots[beat / 4];
            Pluck(loop, at, root / 2, 0.25, 0.4);
            Pluck(loop, at + half, root * Chord[beat % Chord.Length] * 4, 0.08, 0.3);
            foreach (double interval in beat % 2 == 0 ? Chord : [])
            {
                Pluck(loop, at, root * interval * 2, 0.06, 0.5);
            }

            Hiss(loop, at, beat % 2 == 0 ? 0.02 : 0.12, random);
            Hiss(loop, at + half, 0.02, random);
        }

        double power = loop.Sum(sample => (double)sample * sample) / loop.Length;
        return Array.ConvertAll(loop, sample => (float)(sample * 0.1 / Math.Sqrt(power)));
    }

    /// <summary>A string with eight harmonics that dies away.</summary>
    private static void Pluck(float[] loop, int at, double hz, double height, double seconds)
    {
        for (int i = 0; i < (int)(3 * seconds * Air.SampleRateHz); i++)
        {
            double t = (double)i / Air.SampleRateHz, sum = 0;
            for (int harmonic = 1; harmonic <= 8; harmonic++)
            {
                sum += Math.Sin(Math.Tau * harmonic * hz * t) * Math.Exp(-harmonic * t / seconds) / harmonic;
            }

            loop[(at + i) % loop.Length] += (float)(height * Math.Min(1, t / 0.004) * sum);
        }
    }

    private static void Hiss(float[] loop, int at, double height, SeededRandom random)
    {
        for (int i = 0; i < Air.SampleRateHz / 8; i++)
        {
            double t = (double)i / Air.SampleRateHz;
            loop[(at + i) % loop.Length] += (float)(height * Math.Exp(-t / 0.03) * random.NextGaussian());
        }
    }
}
