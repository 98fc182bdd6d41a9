using System.Collections.Immutable;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>
/// The level of one channel in 20 bands, 100 times a second: what coarse matching and the choice of mic look at
/// instead of samples. 2 kB a second of sound.
/// </summary>
/// <remarks>
/// Step s is the power spectrum of a 32 ms Hann window whose middle is at clip time (s + ½)·10 ms.
/// A level is a byte: dB relative to a full-scale sine = value/2 − 120, so −120 dB to +7.5 dB in half decibels.
/// </remarks>
public sealed class BandLevels(byte[] levels)
{
    public const int Bands = 20;

    /// <summary>Steps a second.</summary>
    public static Rate StepRate { get; } = new(100);

    /// <summary>
    /// Band centres. Band 0 is everything from 16 to 78 Hz (rumble, wind); the others are the one-third-octave
    /// bands of IEC 61260-1 from 100 Hz to 6.3 kHz.
    /// </summary>
    public static ImmutableArray<int> CentreHz { get; } =
        [40, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000, 2500, 3150, 4000, 5000, 6300];

    public int Steps => levels.Length / Bands;

    /// <summary>The 20 levels of one step, lowest band first.</summary>
    public ReadOnlySpan<byte> Step(int step) => levels.AsSpan(step * Bands, Bands);

    public static float ToDb(byte level) => (level * 0.5f) - 120f;

    public static byte FromDb(float db) => (byte)Math.Clamp((int)MathF.Round((db + 120f) * 2), 0, 255);
}
