using System.Numerics;
using System.Runtime.CompilerServices;

namespace SyncBench.Signal;

/// <summary>The spectrum of a correlation: one spectrum times the conjugate of another, bin by bin.</summary>
public static class CrossSpectrum
{
    /// <summary><c>sum += (re + j·im)·conj(otherRe + j·otherIm)</c>.</summary>
    /// <param name="sumRe">All six are of one length.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Add(
        ReadOnlySpan<float> re, ReadOnlySpan<float> im, ReadOnlySpan<float> otherRe, ReadOnlySpan<float> otherIm,
        Span<float> sumRe, Span<float> sumIm)
    {
        int bin = 0;
        for (; bin <= re.Length - Vector<float>.Count; bin += Vector<float>.Count)
        {
            var (a, b) = (new Vector<float>(re[bin..]), new Vector<float>(im[bin..]));
            var (c, d) = (new Vector<float>(otherRe[bin..]), new Vector<float>(otherIm[bin..]));
            (new Vector<float>(sumRe[bin..]) + (a * c) + (b * d)).CopyTo(sumRe[bin..]);
            (new Vector<float>(sumIm[bin..]) + (b * c) - (a * d)).CopyTo(sumIm[bin..]);
        }

        for (; bin < re.Length; bin++)
        {
            sumRe[bin] += (re[bin] * otherRe[bin]) + (im[bin] * otherIm[bin]);
            sumIm[bin] += (im[bin] * otherRe[bin]) - (re[bin] * otherIm[bin]);
        }
    }
}
