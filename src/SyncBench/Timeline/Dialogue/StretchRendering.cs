using System.Numerics.Tensors;
using SyncBench.Signal;
using SyncBench.Time;

namespace SyncBench.Timeline.Dialogue;

/// <summary>
/// Renders one stretch of a dialogue from its clip's sound as that streams by: resampled to the reference clock, at its
/// matched level. What a crossfade needs is kept back; all else goes to the track.
/// </summary>
internal sealed class StretchRendering
{
    private const int FadeSamples = 240; // 5 ms: no click

    private readonly DialogueStretch _stretch;
    private readonly DialogueTrack _track;
    private readonly ClockResampler _resampler;
    private readonly int _headLength, _tailLength; // of the crossfades at its ends
    private readonly float[] _level = new float[ClockResampler.LongestOutput];
    private long _given;

    /// <param name="sampleRateHz">Of the clip's sound.</param>
    /// <param name="headLength">Samples that are also the end of the stretch before; 0 without crossfade.</param>
    /// <param name="tailLength">Samples that are also the begin of the stretch after.</param>
    internal StretchRendering(
        DialogueStretch stretch, DialogueTrack track, int sampleRateHz, int headLength, int tailLength)
    {
        (_stretch, _track, _headLength, _tailLength) = (stretch, track, headLength, tailLength);
        double ticks = 1 / (1 + (stretch.Source.Placement.Map.Ppm * 1e-6)); // seconds of the clip in one of the common clock
        _resampler = new ClockResampler(
            stretch.MicTime.ToSeconds() * sampleRateHz, ticks * sampleRateHz / Rate.Hz48000.Numerator, stretch.Count);
        (Head, Tail) = (new float[headLength], new float[tailLength]);
    }

    internal float[] Head { get; }

    internal float[] Tail { get; }

    internal void Feed(ReadOnlySpan<float> block, long blockStart) => _resampler.Feed(block, blockStart, Give);

    /// <summary>The clip's sound is over, perhaps before its time: the rest is silence.</summary>
    internal void Finish() => _resampler.Finish(Give);

    private void Give(ReadOnlySpan<float> samples)
    {
        Span<float> level = _level.AsSpan(0, samples.Length);
        TensorPrimitives.Multiply(samples, (float)_stretch.Gain, level);
        if (_given < FadeSamples || _given + level.Length > _stretch.Count - FadeSamples)
        {
            for (int n = 0; n < level.Length; n++)
            {
                level[n] *= Fade(_given + n);
            }
        }

        // Head, middle, tail; a block may hold parts of all three.
        long tail = _stretch.Count - _tailLength;
        int inHead = (int)Math.Clamp(_headLength - _given, 0, level.Length);
        int beforeTail = (int)Math.Clamp(tail - _given, inHead, level.Length);
        level[..inHead].CopyTo(Head.AsSpan((int)Math.Min(_given, _headLength)));
        _track.Write(_stretch.First + _given + inHead, level[inHead..beforeTail]);
        level[beforeTail..].CopyTo(Tail.AsSpan((int)Math.Max(0, _given + beforeTail - tail)));
        _given += level.Length;
    }

    private float Fade(long at)
    {
        long toEdge = Math.Min(
            _stretch.Begins == Edge.Fade ? at : FadeSamples,
            _stretch.Ends == Edge.Fade ? _stretch.Count - 1 - at : FadeSamples);
        return toEdge >= FadeSamples ? 1 : (toEdge + 0.5f) / FadeSamples;
    }
}
