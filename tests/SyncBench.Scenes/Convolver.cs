using System.Numerics;
using SyncBench.Signal;

namespace SyncBench.Scenes;

/// <summary>Filters sounds of any length by one kernel, by transforms of overlapping blocks (overlap-save).</summary>
/// <remarks>A. V. Oppenheim, R. W. Schafer, "Discrete-Time Signal Processing", block convolution (from memory).</remarks>
public sealed class Convolver
{
    private readonly RealFft _fft;
    private readonly int _kernelLength;
    private readonly int _lead;
    private readonly float[] _re;
    private readonly float[] _im;

    /// <param name="kernel">The filter.</param>
    /// <param name="lead">Index of the kernel's time zero.</param>
    public Convolver(ReadOnlySpan<float> kernel, int lead)
    {
        _kernelLength = kernel.Length;
        _lead = lead;
        int size = Math.Clamp((int)BitOperations.RoundUpToPowerOf2((uint)kernel.Length * 3), 1024, RealFft.LargestSize);
        _fft = RealFft.OfSize(size);
        _re = new float[_fft.Bins];
        _im = new float[_fft.Bins];
        var padded = new float[size];
        kernel.CopyTo(padded);
        _fft.Forward(padded, _re, _im);
    }

    public Convolver(ImpulseResponse response)
        : this(response.Samples, response.Lead)
    {
    }

    /// <summary>A sound of the same length, its time kept.</summary>
    public float[] Filter(ReadOnlySpan<float> sound)
    {
        var filtered = new float[sound.Length];
        AddTo(filtered, 0, sound);
        return filtered;
    }

    /// <summary>Adds the filtered sound, whose time zero lies at <paramref name="at"/>; what sticks out is lost.</summary>
    public void AddTo(Span<float> target, long at, ReadOnlySpan<float> sound)
    {
        int fresh = _fft.Size - _kernelLength + 1; // output samples of a block that no wrap has soiled
        var block = new float[_fft.Size];
        var re = new float[_fft.Bins];
        var im = new float[_fft.Bins];
        int total = sound.Length + _kernelLength - 1;
        for (int done = 0; done < total; done += fresh)
        {
            int from = done - (_kernelLength - 1);
            block.AsSpan().Clear();
            int first = Math.Max(0, from);
            int last = Math.Min(sound.Length, from + block.Length);
            if (last > first)
            {
                sound[first..last].CopyTo(block.AsSpan(first - from));
            }

            _fft.Forward(block, re, im);
            Multiply(re, im);
            _fft.Inverse(re, im, block);
            int count = Math.Min(fresh, total - done);
            long place = at - _lead + done;
            int skip = (int)Math.Clamp(-place, 0, count);
            int keep = (int)Math.Clamp(target.Length - place, skip, count);
            for (int i = skip; i < keep; i++)
            {
                target[(int)(place + i)] += block[_kernelLength - 1 + i];
            }
        }
    }

    /// <summary>Multiplies a spectrum by the kernel's, in place.</summary>
    private void Multiply(Span<float> re, Span<float> im)
    {
        int bin = 0;
        for (; bin <= re.Length - Vector<float>.Count; bin += Vector<float>.Count)
        {
            var (a, b) = (new Vector<float>(re[bin..]), new Vector<float>(im[bin..]));
            var (c, d) = (new Vector<float>(_re, bin), new Vector<float>(_im, bin));
            ((a * c) - (b * d)).CopyTo(re[bin..]);
            ((a * d) + (b * c)).CopyTo(im[bin..]);
        }

        for (; bin < re.Length; bin++)
        {
            (re[bin], im[bin]) =
                ((re[bin] * _re[bin]) - (im[bin] * _im[bin]), (re[bin] * _im[bin]) + (im[bin] * _re[bin]));
        }
    }
}
