using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
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
    private readonly RationalResampler[] _resamplers; // none where nobody hears their sound
    private readonly float[][] _full;
    private readonly float[][] _analysis;
    private long _fed;

    internal SoundFeed(int rateHz, int channels, IReadOnlyList<ISoundListener> listeners)
    {
        _rateHz = rateHz;
        Channels = channels;
        _listeners = listeners;
        int analysisHz = SoundBlock.AnalysisRate.Numerator;
        _resamplers = listeners.Any(listener => listener.HearsAnalysis)
            ? [.. Enumerable.Range(0, channels).Select(_ => new RationalResampler(rateHz, analysisHz))]
            : [];
        _full = [.. Enumerable.Range(0, channels).Select(_ => new float[BlockSamples])];
        int longest = _resamplers.Length > 0 ? _resamplers[0].MaxOutput(BlockSamples) : 0;
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
        for (int channel = 0; channel < _resamplers.Length; channel++)
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

        int pairs = Channels == 2 ? SplitPairs(interleaved, _full[0].AsSpan(0, count), _full[1].AsSpan(0, count)) : 0;
        for (int channel = 0; channel < Channels; channel++)
        {
            Span<float> target = _full[channel].AsSpan(0, count);
            for (int i = pairs, from = channel + (pairs * Channels); i < target.Length; i++, from += Channels)
            {
                target[i] = interleaved[from];
            }
        }
    }

    /// <summary>
    /// Two channels, eight samples of each at a time: a pair is one number of 64 bits, of which first the lower and then
    /// the upper half is taken.
    /// </summary>
    /// <returns>Pairs that were split.</returns>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static int SplitPairs(ReadOnlySpan<float> interleaved, Span<float> left, Span<float> right)
    {
        ReadOnlySpan<ulong> pairs = MemoryMarshal.Cast<float, ulong>(interleaved);
        if (!BitConverter.IsLittleEndian || pairs.Length < left.Length || right.Length < left.Length)
        {
            return 0;
        }

        ref ulong pair = ref MemoryMarshal.GetReference(pairs);
        ref float lefts = ref MemoryMarshal.GetReference(left), rights = ref MemoryMarshal.GetReference(right);
        int done = 0;
        for (; done <= left.Length - Vector256<float>.Count; done += Vector256<float>.Count)
        {
            Vector256<ulong> first = Vector256.LoadUnsafe(ref pair, (nuint)done);
            Vector256<ulong> second = Vector256.LoadUnsafe(ref pair, (nuint)(done + Vector256<ulong>.Count));
            Vector256.Narrow(first, second).AsSingle().StoreUnsafe(ref lefts, (nuint)done);
            Vector256.Narrow(first >> 32, second >> 32).AsSingle().StoreUnsafe(ref rights, (nuint)done);
        }

        return done;
    }

    private void Deliver(int count)
    {
        int analysisLength = 0;
        for (int channel = 0; channel < _resamplers.Length; channel++)
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
