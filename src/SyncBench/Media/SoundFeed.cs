using SyncBench.Signal;
using SyncBench.Time;

namespace SyncBench.Media;

/// <summary>
/// Splits interleaved sound into channels, makes the analysis-rate copy of each, and hands both to the listeners.
/// </summary>
internal sealed class SoundFeed
{
    private const int BlockSamples = 1 << 14;

    private readonly int _rateHz;
    private readonly IReadOnlyList<ISoundListener> _listeners;
    private readonly RationalResampler[] _resamplers;
    private readonly float[][] _full;
    private readonly float[][] _analysis;
    private long _fed;

    internal SoundFeed(int rateHz, int channels, IReadOnlyList<ISoundListener> listeners)
    {
        _rateHz = rateHz;
        Channels = channels;
        _listeners = listeners;
        int analysisHz = SoundBlock.AnalysisRate.Numerator;
        _resamplers = [.. Enumerable.Range(0, channels).Select(_ => new RationalResampler(rateHz, analysisHz))];
        _full = [.. Enumerable.Range(0, channels).Select(_ => new float[BlockSamples])];
        int longest = _resamplers[0].MaxOutput(BlockSamples);
        _analysis = [.. Enumerable.Range(0, channels).Select(_ => new float[longest])];
    }

    internal int Channels { get; }

    internal MediaTime Fed => MediaTime.FromUnits(_fed, new Rate(_rateHz));

    internal void Silence(long samples)
    {
        foreach (float[] channel in _full)
        {
            channel.AsSpan().Clear();
        }

        for (long left = samples; left > 0; left -= BlockSamples)
        {
            Deliver((int)Math.Min(left, BlockSamples));
        }
    }

    internal void Interleaved(ReadOnlySpan<float> samples)
    {
        while (!samples.IsEmpty)
        {
            int count = Math.Min(BlockSamples, samples.Length / Channels);
            Split(samples[..(count * Channels)], count);
            Deliver(count);
            samples = samples[(count * Channels)..];
        }
    }

    internal void Finish()
    {
        int analysisLength = 0;
        for (int channel = 0; channel < Channels; channel++)
        {
            int bound = _resamplers[channel].MaxOutput(0);
            if (_analysis[channel].Length < bound)
            {
                _analysis[channel] = new float[bound];
            }

            analysisLength = _resamplers[channel].Finish(_analysis[channel]);
        }

        Hand(0, analysisLength);
        foreach (ISoundListener listener in _listeners)
        {
            listener.Finish();
        }
    }

    private void Split(ReadOnlySpan<float> interleaved, int count)
    {
        if (Channels == 1)
        {
            interleaved.CopyTo(_full[0]);
            return;
        }

        for (int channel = 0; channel < Channels; channel++)
        {
            Span<float> target = _full[channel].AsSpan(0, count);
            for (int i = 0, from = channel; i < target.Length; i++, from += Channels)
            {
                target[i] = interleaved[from];
            }
        }
    }

    private void Deliver(int count)
    {
        int analysisLength = 0;
        for (int channel = 0; channel < Channels; channel++)
        {
            analysisLength = _resamplers[channel].Process(_full[channel].AsSpan(0, count), _analysis[channel]);
        }

        _fed += count;
        Hand(count, analysisLength);
    }

    private void Hand(int fullLength, int analysisLength)
    {
        var block = new SoundBlock(_rateHz, _full, fullLength, _analysis, analysisLength);
        foreach (ISoundListener listener in _listeners)
        {
            listener.Hear(block);
        }
    }
}
