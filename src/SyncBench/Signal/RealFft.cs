using System.Collections.Concurrent;
using System.Numerics;
using SyncBench.Signal.Transform;
using SyncBench.Signal.Vectors;

namespace SyncBench.Signal;

/// <summary>
/// The discrete Fourier transform of real samples, in single precision: X[k] = Σ x[n]·e^(−2πi·kn/N), k = 0 … N/2.
/// </summary>
/// <remarks>
/// Plans are kept by size, threads share them, and a call allocates nothing once its thread has run the size before.
/// </remarks>
public sealed class RealFft
{
    public const int SmallestSize = 16;

    public const int LargestSize = 1 << 22;

    private static readonly ConcurrentDictionary<int, RealFft> Plans = new();

    private readonly FftKernel _kernel;

    private RealFft(int size, FftKernel kernel)
    {
        Size = size;
        _kernel = kernel;
    }

    /// <summary>Samples: N.</summary>
    public int Size { get; }

    /// <summary>Bins of the spectrum, N/2 + 1: bin k is k/N of the sample rate.</summary>
    public int Bins => (Size / 2) + 1;

    /// <param name="size">A power of two, <see cref="SmallestSize"/> to <see cref="LargestSize"/>.</param>
    /// <exception cref="ArgumentOutOfRangeException">Not such a size.</exception>
    public static RealFft OfSize(int size) =>
        Plans.TryGetValue(size, out RealFft? plan) ? plan : Plans.GetOrAdd(size, Create(size, WidestLanes));

    /// <summary>A plan of its own for registers no wider than <paramref name="lanes"/> floats: 1, 4, 8 or 16.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not a size for <see cref="OfSize"/>.</exception>
    /// <exception cref="PlatformNotSupportedException">This processor has no such registers.</exception>
    internal static RealFft Create(int size, int lanes)
    {
        if (!BitOperations.IsPow2(size) || size < SmallestSize || size > LargestSize)
        {
            throw new ArgumentOutOfRangeException(
                nameof(size), size, $"The size must be a power of two from {SmallestSize} to {LargestSize}.");
        }

        if (lanes > WidestLanes)
        {
            throw new PlatformNotSupportedException($"This processor has no registers of {lanes} floats.");
        }

        // A register's width of columns is turned into rows, so half the size must hold a square of it.
        while (2 * lanes * lanes > size)
        {
            lanes = lanes == 4 ? 1 : lanes / 2;
        }

        return new RealFft(size, lanes switch
        {
            16 => new FftKernelOfLanes<Lanes16>(size),
            8 => new FftKernelOfLanes<Lanes8>(size),
            4 => new FftKernelOfLanes<Lanes4>(size),
            _ => new FftKernelOfLanes<Lanes1>(size),
        });
    }

    /// <summary>Floats in the widest register that this processor has.</summary>
    internal static int WidestLanes => Lanes16.IsSupported ? 16 : Lanes8.IsSupported ? 8 : 4;

    /// <summary>The spectrum of <paramref name="samples"/>, unscaled.</summary>
    /// <param name="samples"><see cref="Size"/> samples.</param>
    /// <param name="re">Room for <see cref="Bins"/> real parts; must not overlap the samples.</param>
    /// <param name="im">Room for <see cref="Bins"/> imaginary parts; those of the first and last bin are zero.</param>
    /// <exception cref="ArgumentOutOfRangeException">A span is too short.</exception>
    public unsafe void Forward(ReadOnlySpan<float> samples, Span<float> re, Span<float> im)
    {
        RequireLengths(samples.Length, re.Length, im.Length);
        fixed (float* samplesAt = samples, reAt = re, imAt = im)
        {
            _kernel.Forward(samplesAt, reAt, imAt);
        }
    }

    /// <summary>The samples of a spectrum, scaled by 1/N, so that it undoes <see cref="Forward"/>.</summary>
    /// <param name="re"><see cref="Bins"/> real parts.</param>
    /// <param name="im">
    /// <see cref="Bins"/> imaginary parts; those of the first and last bin count as zero, as real samples have them.
    /// </param>
    /// <param name="samples">Room for <see cref="Size"/> samples; must not overlap the spectrum.</param>
    /// <exception cref="ArgumentOutOfRangeException">A span is too short.</exception>
    public unsafe void Inverse(ReadOnlySpan<float> re, ReadOnlySpan<float> im, Span<float> samples)
    {
        RequireLengths(samples.Length, re.Length, im.Length);
        fixed (float* samplesAt = samples, reAt = re, imAt = im)
        {
            _kernel.Inverse(reAt, imAt, samplesAt);
        }
    }

    private void RequireLengths(int samples, int re, int im)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(samples, Size);
        ArgumentOutOfRangeException.ThrowIfLessThan(re, Bins);
        ArgumentOutOfRangeException.ThrowIfLessThan(im, Bins);
    }
}
