using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Time;

namespace SyncBench.Selection;

/// <summary>
/// The level of one channel at the mains' frequencies and their harmonics, and just beside them, 20 times a second.
/// </summary>
/// <remarks>
/// Step s is the power spectrum of a 0.4 s Hann window whose middle is at clip time s·50 ms. Levels are coded as those of
/// <see cref="BandLevels"/>, relative to a full-scale sine.
/// </remarks>
/// <param name="levels">Two bytes for each line of <see cref="Hz"/>: on it, beside it.</param>
public sealed class LineLevels(byte[] levels)
{
    public static Rate StepRate { get; } = new(20);

    public static ImmutableArray<int> Hz { get; } = [50, 60, 100, 120, 150, 180, 200, 240, 250, 300, 350, 360];

    public int Steps => levels.Length / (2 * Hz.Length);

    /// <summary>Coded level on a line.</summary>
    public byte On(int step, int line) => levels[(((step * Hz.Length) + line) * 2)];

    /// <summary>Coded level of the louder side of it, as a line of the same power would read.</summary>
    public byte Beside(int step, int line) => levels[(((step * Hz.Length) + line) * 2) + 1];
}
