using SyncBench.Time;

namespace SyncBench.Signal.Loudness;

/// <summary>
/// What loudness is computed from, of one channel: any stretch of it gives that stretch's loudness. 6 bytes for 20 ms.
/// </summary>
/// <param name="powers">Mean square of the K-weighted sound, full scale 1, at <see cref="StepRate"/>.</param>
/// <param name="peaks">Highest true peak, full scale 1, at <see cref="PeakRate"/>.</param>
public sealed class LoudnessTrack(float[] powers, float[] peaks)
{
    /// <summary>
    /// BS.1770 moves its windows by 100 ms, but EBU Tech 3341 wants the highest momentary loudness to be found wherever
    /// it begins (its case 13: on a grid of 20 ms).
    /// </summary>
    public static Rate StepRate { get; } = new(50);

    public static Rate PeakRate { get; } = new(10);

    /// <summary>Whole steps; the rest of the sound, under 20 ms, is left out.</summary>
    public ReadOnlySpan<float> Powers => powers;

    public ReadOnlySpan<float> Peaks => peaks;
}
