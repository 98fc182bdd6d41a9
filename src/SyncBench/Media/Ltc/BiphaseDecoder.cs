using System.Numerics.Tensors;

namespace SyncBench.Media.Ltc;

/// <summary>
/// Reads words of linear timecode out of a channel that carries it, forwards and backwards, in either polarity, at any
/// level, from 0.9 to 1.1 of nominal speed.
/// </summary>
/// <remarks>
/// Biphase mark (SMPTE ST 12-1): an edge where every bit begins and one more in the middle of a 1, so that only the
/// distance of edges matters. Each edge is where the signal last crossed its middle before it left the other side's
/// band, between two samples by a straight line. A distance of more than three quarters of the bit length, which is
/// followed all along, is a 0, two shorter ones are a 1.
/// </remarks>
internal sealed class BiphaseDecoder
{
    /// <summary>Bits 64 to 79, the first lowest: 0011 1111 1111 1101 in order of time.</summary>
    private const uint Sync = 0xBFFC;

    /// <summary>The same heard backwards.</summary>
    private const uint SyncReversed = 0x3FFD;

    private const int WordBits = 80;

    /// <summary>Middle and band are measured anew after so many samples.</summary>
    private const int LevelSamples = 512;

    /// <summary>Half the width of the band that an edge has to cross whole, in mean distances from the middle.</summary>
    internal const float Band = 0.4f;

    private const double BitFollows = 0.125;

    private readonly float[] _level = new float[LevelSamples];
    private readonly double[] _bitStarts = new double[WordBits];
    private UInt128 _bits;
    private int _valid;
    private long _next;
    private double _bit;
    private double _edge;
    private double _half;
    private double _crossed;
    private float _previous;
    private float _middle;
    private float _band;
    private bool _high;

    /// <param name="bitSamples">Length of a bit, to within a fifth.</param>
    internal void Start(double bitSamples)
    {
        _bit = bitSamples;
        _valid = 0;
        _band = 0;
        _previous = 0;
        _high = false;
        (_edge, _half) = (double.NaN, double.NaN);
    }

    /// <param name="first">Place of the first of the samples; each call goes on where the one before ended.</param>
    internal void Read(ReadOnlySpan<float> samples, long first, List<LtcWord> words)
    {
        for (int done = 0; done < samples.Length; done += LevelSamples)
        {
            ReadOnlySpan<float> part = samples.Slice(done, Math.Min(LevelSamples, samples.Length - done));
            Measure(part);
            Edges(part, first + done, words);
        }
    }

    private void Measure(ReadOnlySpan<float> part)
    {
        float middle = TensorPrimitives.Sum(part) / part.Length;
        Span<float> level = _level.AsSpan(0, part.Length);
        TensorPrimitives.Subtract(part, middle, level);
        float band = Band * TensorPrimitives.SumOfMagnitudes<float>(level) / part.Length;

        // A short rest at the end of a block says less of the level than what came before.
        float weight = _band == 0 ? 1 : 0.5f * part.Length / LevelSamples;
        _middle += weight * (middle - _middle);
        _band += weight * (band - _band);
    }

    private void Edges(ReadOnlySpan<float> part, long first, List<LtcWord> words)
    {
        float previous = _previous, middle = _middle, band = Math.Max(_band, 1e-9f);
        for (int i = 0; i < part.Length; i++)
        {
            float value = _high ? part[i] - middle : middle - part[i];
            float before = _high ? previous - middle : middle - previous;
            if (value < 0 && before >= 0)
            {
                _crossed = first + i - (value / (value - before));
            }

            if (value < -band)
            {
                _high = !_high;
                Edge(_crossed, words);
            }

            previous = part[i];
        }

        _previous = previous;
    }

    private void Edge(double at, List<LtcWord> words)
    {
        double distance = at - _edge;
        (double before, _edge) = (_edge, at);
        bool isLong = distance > 0.75 * _bit;
        if (!(distance > 0.25 * _bit && distance < 1.5 * _bit))
        {
            _valid = 0;
            _half = double.NaN;
        }
        else if (isLong)
        {
            // A half before a long one began in the middle of a bit.
            _valid = double.IsNaN(_half) ? _valid : 0;
            _half = double.NaN;
            Bit(0, before, at, words);
        }
        else if (double.IsNaN(_half))
        {
            _half = before;
        }
        else
        {
            double start = _half;
            _half = double.NaN;
            Bit(1, start, at, words);
        }
    }

    private void Bit(uint value, double start, double end, List<LtcWord> words)
    {
        _bit += BitFollows * (end - start - _bit);
        _bits = (_bits >> 1) | ((UInt128)value << (WordBits - 1));
        _bitStarts[_next++ % WordBits] = start;
        if (++_valid < WordBits)
        {
            return;
        }

        bool forward = (uint)(_bits >> 64) == Sync;
        if (!forward && ((uint)_bits & 0xFFFF) != SyncReversed)
        {
            return;
        }

        ulong bits = forward ? (ulong)_bits : Mirrored(_bits);
        var word = new LtcWord(bits, _bitStarts[_next % WordBits], end, !forward);
        if (word.IsTime)
        {
            words.Add(word);
        }
    }

    private static ulong Mirrored(UInt128 bits)
    {
        ulong mirrored = 0;
        for (int bit = 0; bit < 64; bit++)
        {
            mirrored |= (ulong)(bits >> (WordBits - 1 - bit) & 1) << bit;
        }

        return mirrored;
    }
}
