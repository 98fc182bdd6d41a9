namespace SyncBench.Selection;

/// <summary>
/// What only the samples themselves show of one channel, on the 10 ms grid of <see cref="Alignment.BandLevels"/>:
/// step s is clip time s·10 ms to (s+1)·10 ms. Three bytes a step.
/// </summary>
/// <param name="peaks">Highest sample: dB relative to full scale = value/2 − 120.</param>
/// <param name="clipped">Samples in flat tops, at most 255.</param>
/// <param name="missing">Per cent of the step in which the signal stood still for at least 2 ms.</param>
public sealed class MicMeasure(byte[] peaks, byte[] clipped, byte[] missing)
{
    internal ReadOnlySpan<byte> Peaks => peaks;

    internal ReadOnlySpan<byte> Clipped => clipped;

    internal ReadOnlySpan<byte> Missing => missing;

    public int Steps => peaks.Length;

    /// <summary>Highest sample of the step, dB relative to full scale; −120 for digital silence.</summary>
    public float PeakDb(int step) => Alignment.BandLevels.ToDb(peaks[step]);

    /// <summary>How many samples of the step stand in flat tops.</summary>
    public int ClippedSamples(int step) => clipped[step];

    /// <summary>How much of the step is digital silence or a value that stands still, 0 to 1.</summary>
    public float MissingShare(int step) => missing[step] / 100f;
}
