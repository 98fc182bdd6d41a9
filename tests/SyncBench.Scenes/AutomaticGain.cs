using SyncBench.Signal;

namespace SyncBench.Scenes;

/// <summary>A gain that goes down at once where the sound is loud and comes up slowly where it is not, as cameras ride it.</summary>
/// <param name="LoudDb">Level from which the gain is as it was without the automatic, dB relative to full scale.</param>
/// <param name="RangeDb">How far it comes up at most.</param>
/// <param name="RiseDbPerSecond">How fast.</param>
public sealed record AutomaticGain(double LoudDb, double RangeDb, double RiseDbPerSecond)
{
    /// <summary>Traffic and wind are not what it listens to.</summary>
    private const double LowestHz = 150;

    private const double FallDbPerSecond = 400;

    /// <summary>The level that is ridden by is that of some 10 ms.</summary>
    private const double LevelSeconds = 0.01;

    /// <returns>By how much each sample was raised, in dB.</returns>
    public float[] Ride(Span<float> sound, int rateHz)
    {
        float[] heard = sound.ToArray(), gains = new float[sound.Length];
        Biquad.HighPass(rateHz, LowestHz, 0.707).Process(heard, heard);
        double power = Math.Pow(10, LoudDb / 10), gainDb = 0;
        for (int i = 0; i < gains.Length; i++)
        {
            power += ((heard[i] * heard[i]) - power) / (LevelSeconds * rateHz);
            double wanted = Math.Clamp(LoudDb - (10 * Math.Log10(power + 1e-12)), 0, RangeDb);
            gainDb = Math.Clamp(wanted, gainDb - (FallDbPerSecond / rateHz), gainDb + (RiseDbPerSecond / rateHz));
            gains[i] = (float)gainDb;
            sound[i] *= (float)Math.Pow(10, gains[i] / 20);
        }

        return gains;
    }
}
