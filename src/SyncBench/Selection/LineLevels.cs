using System.Collections.Immutable;
using System.Numerics;
using SyncBench.Alignment;
using SyncBench.Time;

namespace SyncBench.Selection;

/// <summary>
/// The level of one channel at the mains' frequencies and their harmonics, and just beside them, and the phase there, 20 times a second.
/// </summary>
/// <remarks>
/// Step s is the power spectrum of a 0.4 s Hann window whose middle is at clip time s·50 ms. Levels are coded as those of
/// <see cref="BandLevels"/>, relative to a full-scale sine.
/// </remarks>
/// <param name="levels">Three bytes for each line of <see cref="Hz"/>: level on it, level beside it, phase.</param>
public sealed class LineLevels(byte[] levels)
{
    public static Rate StepRate { get; } = new(20);

    public static ImmutableArray<int> Hz { get; } = [50, 60, 100, 120, 150, 180, 200, 240, 250, 300, 350, 360];

    internal const int BytesALine = 3;

    public int Steps => levels.Length / (BytesALine * Hz.Length);

    /// <summary>Coded level on a line.</summary>
    public byte On(int step, int line) => levels[((step * Hz.Length) + line) * BytesALine];

    /// <summary>Coded level of the louder side of it, as a line of the same power would read.</summary>
    public byte Beside(int step, int line) => levels[(((step * Hz.Length) + line) * BytesALine) + 1];

    /// <summary>Power beside a line, as <see cref="Beside"/>, and of what no recording is without: it is nowhere below −100 dB.</summary>
    public double NoisePower(int step, int line) => Math.Pow(10, BandLevels.ToDb(Beside(step, line)) / 10) + 1e-10;

    /// <summary>Amplitude, relative to a full-scale sine, and phase of the line about a step, as if it turned exactly at its frequency.</summary>
    public Complex Phasor(int step, int line)
    {
        double turned = (double)Hz[line] * step / StepRate.PerSecond;
        double turn = levels[(((step * Hz.Length) + line) * BytesALine) + 2] / 256.0;
        return Complex.FromPolarCoordinates(Math.Pow(10, BandLevels.ToDb(On(step, line)) / 20), Math.Tau * (turn - turned));
    }
}
