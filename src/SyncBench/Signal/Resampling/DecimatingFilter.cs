namespace SyncBench.Signal.Resampling;

/// <summary>
/// Filters a stream and keeps every so-manieth sample, by transforms at the lower rate: y[n] = Σ taps[k]·x[n·down + k].
/// </summary>
/// <remarks>
/// With x_p[m] = x[m·down + p] and h_p[j] = taps[j·down + p] the output is the sum over the phases p of the correlations
/// of x_p with h_p (Crochiere and Rabiner 1983, polyphase decimator), each taken block by block in the frequency domain
/// (overlap-save), so that the phases share one inverse transform. Blocks lie at fixed places of the stream, so how the
/// input is cut does not change one bit of the output.
/// </remarks>
internal sealed class DecimatingFilter
{
    /// <summary>At the lower rate: large against the filter's 90 or so taps of a phase, small enough for the nearest cache.</summary>
    private const int BlockSize = 2048;

    private readonly int _down;
    private readonly int _fresh; // outputs of a block that no wrap has soiled
    private readonly int _lead;
    private readonly RealFft _fft = RealFft.OfSize(BlockSize);
    private readonly float[][] _filterRe, _filterIm;
    private readonly float[] _window; // the next block of the input, phases still interleaved
    private readonly float[] _phase = new float[BlockSize];
    private readonly float[] _re, _im, _sumRe, _sumIm;
    private int _filled;

    /// <param name="lead">Samples of silence before the stream.</param>
    public DecimatingFilter(ReadOnlySpan<float> taps, int down, int lead)
    {
        (_down, _lead) = (down, lead);
        int tapsOfPhase = (taps.Length + down - 1) / down;
        _fresh = BlockSize - tapsOfPhase + 1;
        _window = new float[BlockSize * down];
        _filterRe = new float[down][];
        _filterIm = new float[down][];
        for (int p = 0; p < down; p++)
        {
            var padded = new float[BlockSize];
            for (int k = p; k < taps.Length; k += down)
            {
                padded[k / down] = taps[k];
            }

            (_filterRe[p], _filterIm[p]) = (new float[_fft.Bins], new float[_fft.Bins]);
            _fft.Forward(padded, _filterRe[p], _filterIm[p]);
        }

        (_re, _im) = (new float[_fft.Bins], new float[_fft.Bins]);
        (_sumRe, _sumIm) = (new float[_fft.Bins], new float[_fft.Bins]);
        Restart();
    }

    /// <summary>Most input samples that wait for their block to be whole.</summary>
    public int MostWaiting => _window.Length;

    public void Restart()
    {
        Array.Clear(_window);
        _filled = _lead;
    }

    /// <param name="output">Takes as much as it has room for; the rest is lost.</param>
    /// <returns>Samples that came out, whether there was room for them or not.</returns>
    public int Feed(ReadOnlySpan<float> input, Span<float> output)
    {
        int written = 0;
        while (!input.IsEmpty)
        {
            int taken = Math.Min(input.Length, _window.Length - _filled);
            input[..taken].CopyTo(_window.AsSpan(_filled));
            input = input[taken..];
            _filled += taken;
            if (_filled == _window.Length)
            {
                Filter();
                Span<float> room = output[Math.Min(written, output.Length)..];
                int kept = Math.Min(room.Length, _fresh);
                _phase.AsSpan(0, kept).CopyTo(room);
                written += _fresh;
                _window.AsSpan(_fresh * _down).CopyTo(_window);
                _filled -= _fresh * _down;
            }
        }

        return written;
    }

    private void Filter()
    {
        Array.Clear(_sumRe);
        Array.Clear(_sumIm);
        for (int p = 0; p < _down; p++)
        {
            for (int m = 0, at = p; m < _phase.Length; m++, at += _down)
            {
                _phase[m] = _window[at];
            }

            _fft.Forward(_phase, _re, _im);
            CrossSpectrum.Add(_re, _im, _filterRe[p], _filterIm[p], _sumRe, _sumIm);
        }

        _fft.Inverse(_sumRe, _sumIm, _phase);
    }
}
