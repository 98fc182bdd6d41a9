using System.Numerics.Tensors;

namespace SyncBench.Signal;

/// <summary>
/// Generalised cross-correlation of two windows, band-limited and whitened as far as asked:
/// <c>c[k] = Re Σ_ω B(ω)·G(ω)·|G(ω)|^−β·e^{jωk} / Σ_ω B(ω)·|G(ω)|^{1−β}</c> with <c>G = R·conj(Q)</c>.
/// β = 0 is plain correlation, β = 1 the phase transform; a window found again without any change gives 1.
/// </summary>
/// <remarks>
/// Source: C. H. Knapp and G. C. Carter, "The generalized correlation method for estimation of time delay", IEEE Trans.
/// ASSP 24(4), 1976; partial whitening after K. D. Donohue et al., IEEE SoutheastCon 2007. Which β wins depends on
/// reverberation (1 wins) against noise (0.6 to 0.8 wins), so <see cref="Load"/> once and read several rows.
/// Positive lag: the query starts later in the reference. Not thread-safe: one instance a thread. After construction
/// nothing is allocated.
/// </remarks>
public sealed class CrossCorrelator
{
    /// <summary>Below this share of the loudest bin a bin is empty and gets no vote, however whitened.</summary>
    private const float EmptyBin = 1e-9f;

    private readonly RealFft _fft;
    private readonly int _firstBin;
    private readonly float[] _band;
    private readonly float[] _angleStep;
    private readonly float[] _referenceRe, _referenceIm, _queryRe, _queryIm;
    private readonly float[] _crossRe, _crossIm, _magnitude, _weight;
    private readonly float[] _sin, _cos;
    private readonly float[] _padded, _lags;

    /// <param name="size">Transform length, a power of two: at least window + longest lag, else the ends wrap.</param>
    /// <param name="sampleRateHz">Of both windows.</param>
    /// <param name="lowHz">Bottom of the band. Rumble below 200 Hz is alike at both mics and must stay out.</param>
    /// <param name="highHz">Top of the band, at most half the sample rate.</param>
    public CrossCorrelator(int size, double sampleRateHz, double lowHz, double highHz)
    {
        _fft = RealFft.OfSize(size);
        double binHz = sampleRateHz / size;
        _firstBin = (int)Math.Ceiling(lowHz / binHz);
        int bins = (int)Math.Floor(highHz / binHz) - _firstBin + 1;
        if (bins < 8)
        {
            throw new ArgumentException("The band holds fewer than eight bins.", nameof(highHz));
        }

        _band = BandEdges(bins, edgeBins: Math.Max(1, (int)(100 / binHz)));
        _angleStep = [.. Enumerable.Range(_firstBin, bins).Select(bin => (float)(2 * Math.PI * bin / size))];
        (_referenceRe, _referenceIm) = (new float[_fft.Bins], new float[_fft.Bins]);
        (_queryRe, _queryIm) = (new float[_fft.Bins], new float[_fft.Bins]);
        (_crossRe, _crossIm) = (new float[bins], new float[bins]);
        (_magnitude, _weight) = (new float[bins], new float[bins]);
        (_sin, _cos) = (new float[bins], new float[bins]);
        (_padded, _lags) = (new float[size], new float[size]);
    }

    public int Size => _fft.Size;

    /// <summary>Takes a new pair of windows, each at most <see cref="Size"/> samples; the rest counts as zeros.</summary>
    /// <returns>False where one of them holds nothing inside the band, so there is nothing to correlate.</returns>
    public bool Load(ReadOnlySpan<float> reference, ReadOnlySpan<float> query)
    {
        Transform(reference, _referenceRe, _referenceIm);
        Transform(query, _queryRe, _queryIm);
        ReadOnlySpan<float> rr = Inner(_referenceRe), ri = Inner(_referenceIm);
        ReadOnlySpan<float> qr = Inner(_queryRe), qi = Inner(_queryIm);
        TensorPrimitives.Multiply(rr, qr, _crossRe);
        TensorPrimitives.MultiplyAdd(ri, qi, _crossRe, _crossRe);
        TensorPrimitives.Multiply(rr, qi, _crossIm);
        TensorPrimitives.Negate<float>(_crossIm, _crossIm);
        TensorPrimitives.MultiplyAdd(ri, qr, _crossIm, _crossIm);
        TensorPrimitives.Multiply<float>(_crossRe, _crossRe, _magnitude);
        TensorPrimitives.MultiplyAdd<float>(_crossIm, _crossIm, _magnitude, _magnitude);
        TensorPrimitives.Sqrt<float>(_magnitude, _magnitude);
        float loudest = TensorPrimitives.Max<float>(_magnitude);
        if (!float.IsFinite(loudest) || loudest <= 0)
        {
            return false;
        }

        TensorPrimitives.Max(_magnitude, loudest * EmptyBin, _magnitude);
        return true;
    }

    /// <summary>The correlation of the loaded windows around one lag.</summary>
    /// <param name="whitening">β, 0 to 1.</param>
    /// <param name="middleLag">Lag, in samples and parts of one, at the middle of the row.</param>
    /// <param name="row">
    /// Receives an odd number of values, one sample apart. Lags below zero or beyond <see cref="Size"/> less the
    /// query's length are read round the end of the transform, as circular correlation has them.
    /// </param>
    public void Row(float whitening, double middleLag, Span<float> row)
    {
        int reach = row.Length / 2;
        if (row.Length != (2 * reach) + 1 || row.Length > Size)
        {
            throw new ArgumentException("A row has an odd number of places, at most one a sample.", nameof(row));
        }

        Whiten(whitening);
        float total = TensorPrimitives.Dot<float>(_weight, _magnitude);
        int wholeLag = (int)Math.Floor(middleLag);
        Span<float> re = _referenceRe, im = _referenceIm; // the transforms are spent: reuse their room
        re.Clear();
        im.Clear();
        Rotate(middleLag - wholeLag, re.Slice(_firstBin, _weight.Length), im.Slice(_firstBin, _weight.Length));
        _fft.Inverse(re, im, _lags);

        int from = (((wholeLag - reach) % Size) + Size) % Size;
        int beforeEnd = Math.Min(row.Length, Size - from);
        _lags.AsSpan(from, beforeEnd).CopyTo(row);
        _lags.AsSpan(0, row.Length - beforeEnd).CopyTo(row[beforeEnd..]);

        // The inverse sums both halves of the spectrum and divides by its length; undo both.
        TensorPrimitives.Multiply(row, Size / (2 * total), row);
    }

    private static float[] BandEdges(int bins, int edgeBins)
    {
        float[] band = new float[bins];
        for (int i = 0; i < bins; i++)
        {
            double fromEdge = Math.Min(1, (Math.Min(i, bins - 1 - i) + 0.5) / edgeBins);
            band[i] = (float)(0.5 - (0.5 * Math.Cos(Math.PI * fromEdge)));
        }

        return band;
    }

    private void Transform(ReadOnlySpan<float> window, float[] re, float[] im)
    {
        window.CopyTo(_padded);
        _padded.AsSpan(window.Length).Clear();
        _fft.Forward(_padded, re, im);
    }

    private ReadOnlySpan<float> Inner(float[] spectrum) => spectrum.AsSpan(_firstBin, _band.Length);

    private void Whiten(float whitening)
    {
        if (whitening == 1)
        {
            TensorPrimitives.Divide(_band, _magnitude, _weight);
        }
        else
        {
            // |G|^−β by way of the logarithm, for which there are vector instructions; there are none for a power.
            TensorPrimitives.Log<float>(_magnitude, _weight);
            TensorPrimitives.Multiply(_weight, -whitening, _weight);
            TensorPrimitives.Exp<float>(_weight, _weight);
            TensorPrimitives.Multiply(_band, _weight, _weight);
        }
    }

    private void Rotate(double shiftSamples, Span<float> re, Span<float> im)
    {
        if (shiftSamples == 0)
        {
            TensorPrimitives.Multiply(_crossRe, _weight, re);
            TensorPrimitives.Multiply(_crossIm, _weight, im);
            return;
        }

        TensorPrimitives.Multiply(_angleStep, (float)shiftSamples, _sin);
        TensorPrimitives.Cos<float>(_sin, _cos);
        TensorPrimitives.Sin<float>(_sin, _sin);
        TensorPrimitives.Multiply(_weight, _sin, _sin);
        TensorPrimitives.Multiply(_weight, _cos, _cos);

        // (cr + j·ci)·(cos + j·sin)
        TensorPrimitives.Multiply(_crossRe, _sin, im);
        TensorPrimitives.MultiplyAdd(_crossIm, _cos, im, im);
        TensorPrimitives.Negate<float>(_sin, _sin);
        TensorPrimitives.Multiply(_crossRe, _cos, re);
        TensorPrimitives.MultiplyAdd(_crossIm, _sin, re, re);
    }
}
