using System.Numerics;
using SyncBench.Alignment;

namespace SyncBench.Selection;

/// <summary>How much each band counts for understanding speech.</summary>
internal static class SpeechBands
{
    /// <summary>160 Hz.</summary>
    public const int First = 3;

    /// <summary>315 Hz; with it begin the middle bands, which cloth, knocks and wind leave alone more than those on both sides.</summary>
    public const int FirstMid = 6;

    /// <summary>1 kHz; with it they end.</summary>
    public const int FirstHigh = 11;

    /// <summary>
    /// Band importance of ANSI S3.5-1997, table 3 (one-third octaves, 160 Hz to 8 kHz), from memory; without its 8 kHz
    /// band (0.0185), which lies beyond the analysis, so scaled to a sum of 1. One for each band of
    /// <see cref="BandLevels"/>.
    /// </summary>
    public static float[] Importance { get; } = Scaled(
        [0, 0, 0, 0.0083, 0.0095, 0.0150, 0.0289, 0.0440, 0.0578, 0.0653, 0.0711, 0.0818, 0.0844, 0.0882, 0.0898,
            0.0868, 0.0844, 0.0771, 0.0527, 0.0364]);

    private static readonly float[] Powers =
        [.. Enumerable.Range(0, 256).Select(level => MathF.Pow(10, BandLevels.ToDb((byte)level) / 10))];

    /// <summary>Power of a coded level relative to a full-scale sine.</summary>
    public static float Power(byte level) => Powers[level];

    /// <summary>Power in the speech bands together.</summary>
    public static float Power(ReadOnlySpan<byte> levels) => Sum(levels[First..]);

    /// <summary>Mean of the middle bands: of levels as they are coded, or of differences between them.</summary>
    public static float Mid<T>(ReadOnlySpan<T> bands)
        where T : INumber<T>
    {
        float sum = 0;
        foreach (T band in bands[FirstMid..FirstHigh])
        {
            sum += float.CreateTruncating(band);
        }

        return sum / (FirstHigh - FirstMid);
    }

    /// <summary>Power in the given bands together.</summary>
    public static float Sum(ReadOnlySpan<byte> levels)
    {
        float sum = 0;
        foreach (byte level in levels)
        {
            sum += Powers[level];
        }

        return sum;
    }

    /// <summary>No less than −120 dB.</summary>
    public static float Db(float power) => 10 * MathF.Log10(MathF.Max(power, 1e-12f));

    /// <summary>Powers become decibels, in place.</summary>
    public static void InDb(float[] powers)
    {
        for (int i = 0; i < powers.Length; i++)
        {
            powers[i] = Db(powers[i]);
        }
    }

    private static float[] Scaled(double[] table)
    {
        double sum = table.Sum();
        return [.. table.Select(weight => (float)(weight / sum))];
    }
}
