using System.Collections.Immutable;
using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
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

    /// <summary>From so many steps on, what a stage leaves behind is worth collecting before the next: some megabytes a line.</summary>
    internal const int StepsOfAnHour = 360_000;

    /// <summary>Steps a second.</summary>
    public static Rate StepRate { get; } = new(100);

    /// <summary>
    /// Band centres. Band 0 is everything from 16 to 78 Hz (rumble, wind); the others are the one-third-octave
    /// bands of IEC 61260-1 from 100 Hz to 6.3 kHz.
    /// </summary>
    public static ImmutableArray<int> CentreHz { get; } =
        [40, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000, 2500, 3150, 4000, 5000, 6300];

    internal ReadOnlySpan<byte> Levels => levels;

    public int Steps => levels.Length / Bands;

    /// <summary>The 20 levels of one step, lowest band first.</summary>
    public ReadOnlySpan<byte> Step(int step) => levels.AsSpan(step * Bands, Bands);

    public static float ToDb(byte level) => (level * 0.5f) - 120f;

    /// <summary>Codes powers, of which 1 is a full-scale sine.</summary>
    /// <param name="powers">At least as many as levels, in whole vectors of eight.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    internal static void FromPowers(ReadOnlySpan<float> powers, Span<byte> levels)
    {
        const float HalfDbAnOctave = 6.0205999f; // 20·lg 2: half decibels in a doubling of power
        Span<int> codes = stackalloc int[Vector256<int>.Count];
        for (int i = 0; i < levels.Length; i += Vector256<float>.Count)
        {
            Vector256<float> power = Vector256.Create(powers.Slice(i, Vector256<float>.Count));
            Vector256<float> halfDb = (Vector256.Log2(Vector256.Max(power, Vector256.Create(1e-13f))) * HalfDbAnOctave)
                + Vector256.Create(240f);
            Vector256<float> code = Vector256.Min(Vector256.Max(Vector256.Round(halfDb), Vector256<float>.Zero), Vector256.Create(255f));
            Vector256.ConvertToInt32(code).CopyTo(codes);
            for (int lane = 0; lane < Math.Min(codes.Length, levels.Length - i); lane++)
            {
                levels[i + lane] = (byte)codes[lane];
            }
        }
    }

    public static byte FromDb(float db) => (byte)Math.Clamp((int)MathF.Round((db + 120f) * 2), 0, 255);
}
