using SyncBench.Time;

namespace SyncBench.Media;

/// <summary>
/// A piece of a clip's sound on its way through the one streaming pass. Blocks come in order and without gaps;
/// the first sample of the first block is clip time zero (sound that starts later is led in by digital silence).
/// </summary>
/// <remarks>The buffers are reused: a listener copies what it keeps.</remarks>
public sealed class SoundBlock(int sampleRateHz, float[][] full, int fullLength, float[][] analysis, int analysisLength)
{
    /// <summary>The rate of <see cref="Analysis"/>: enough for speech up to 7.5 kHz.</summary>
    public static Rate AnalysisRate { get; } = new(16_000);

    /// <summary>The file's own rate, that of <see cref="Full"/>.</summary>
    public int SampleRateHz { get; } = sampleRateHz;

    public int Channels => full.Length;

    /// <summary>Samples of one channel at the file's own rate, full scale ±1.</summary>
    public ReadOnlySpan<float> Full(int channel) => full[channel].AsSpan(0, fullLength);

    /// <summary>
    /// Samples of one channel at <see cref="AnalysisRate"/>. The filter's delay is taken out, so sample n of the
    /// whole stream is at clip time n/16000 s; a block of it may reach less far than the same block of
    /// <see cref="Full"/>.
    /// </summary>
    public ReadOnlySpan<float> Analysis(int channel) => analysis[channel].AsSpan(0, analysisLength);
}
