using System.Numerics;
using SyncBench.Signal.Resampling;

namespace SyncBench.Signal;

/// <summary>
/// Changes the rate of one channel of sound, a block at a time, by a polyphase filter (Crochiere and Rabiner,
/// Multirate Digital Signal Processing, 1983). The filter's delay is taken out: output sample n stands
/// at n/toHz after the first input sample, to the last bit of the phase.
/// </summary>
/// <remarks>
/// <para>
/// Flat to <see cref="PassEdge"/> of the lower Nyquist frequency (7.4 kHz at 16 kHz). The stop band begins as far
/// above that frequency as the pass band ends below, so that what folds, folds into the stretch between and never
/// into the pass band. Attenuation <see cref="AttenuationDb"/>. Before the first and after the last sample is silence.
/// </para>
/// <para>How the input is cut into blocks does not change one bit of the output. One object serves one stream.</para>
/// </remarks>
public sealed class RationalResampler
{
    /// <summary>Where the pass band ends, of the lower Nyquist frequency.</summary>
    public const double PassEdge = 0.925;

    public const double AttenuationDb = 96;

    private const int TapMultiple = 16; // the widest register

    private const int BlockLength = 4096; // with its history in the nearest cache

    private readonly int _up, _down;
    private readonly int _delay; // of the filter, in input samples
    private readonly int _tapCount; // of one phase
    private readonly float[] _taps; // [phase][tap], in the order of the samples
    private readonly float[] _window; // the input samples from _delay before the next output's on
    private readonly DecimatingFilter? _decimator; // where the lower rate divides the higher: four times as fast

    private int _filled; // samples in the window
    private int _phase; // of the next output: it stands phase/up of a sample after sample _at + _delay of the window
    private int _at;
    private long _received, _produced;

    /// <exception cref="ArgumentOutOfRangeException">A rate is not positive.</exception>
    public RationalResampler(int fromHz, int toHz)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(fromHz);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(toHz);
        int divisor = (int)BigInteger.GreatestCommonDivisor(fromHz, toHz);
        (_up, _down) = (toHz / divisor, fromHz / divisor);

        double[] prototype = [1];
        if (_up != _down)
        {
            double nyquist = Math.Min(fromHz, toHz) / 2.0;
            prototype = FirDesign.LowPassExact(
                (double)fromHz * _up, PassEdge * nyquist, (2 - PassEdge) * nyquist, AttenuationDb, _up);
        }

        _delay = prototype.Length / 2 / _up;
        _tapCount = ((2 * _delay) + TapMultiple) / TapMultiple * TapMultiple;
        _taps = Phases(prototype);
        _window = new float[_tapCount + BlockLength];
        _decimator = _up == 1 && _down > 1 ? new DecimatingFilter(_taps, _down, _delay) : null;
        Restart();
    }

    /// <summary>
    /// Room that is enough for the output of that many input samples, and of <see cref="Finish"/> after them.
    /// </summary>
    public int MaxOutput(int inputLength) =>
        checked((int)((((long)inputLength + (_decimator?.MostWaiting ?? _tapCount)) * _up / _down) + 2));

    /// <summary>Takes the next samples and gives what can be given of the output.</summary>
    /// <param name="output">Room as told by <see cref="MaxOutput"/>; must not overlap the input.</param>
    /// <returns>Samples written.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The room may not be enough; nothing has been taken.</exception>
    public int Process(ReadOnlySpan<float> input, Span<float> output)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(output.Length, MaxOutput(input.Length), nameof(output));
        _received += input.Length;
        return Feed(input, output);
    }

    /// <summary>
    /// Gives the rest, so that the whole output is ⌈input · to / from⌉ samples, and makes ready for another stream.
    /// </summary>
    /// <param name="output">Room for <see cref="MaxOutput"/> of nothing.</param>
    /// <returns>Samples written.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The room may not be enough; nothing has been given.</exception>
    public int Finish(Span<float> output)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(output.Length, MaxOutput(0), nameof(output));
        long whole = ((_received * _up) + _down - 1) / _down;
        int missing = (int)(whole - _produced);
        Feed(new float[_decimator?.MostWaiting ?? _tapCount], output);
        Restart();
        return missing;
    }

    private void Restart()
    {
        Array.Clear(_window);
        (_filled, _at, _phase) = (_delay, 0, 0);
        (_received, _produced) = (0, 0);
        _decimator?.Restart();
    }

    private unsafe int Feed(ReadOnlySpan<float> input, Span<float> output)
    {
        if (_decimator is not null)
        {
            int decimated = _decimator.Feed(input, output);
            _produced += decimated;
            return decimated;
        }

        int written = 0;
        fixed (float* window = _window, taps = _taps, outputAt = output)
        {
            while (!input.IsEmpty)
            {
                int taken = Math.Min(input.Length, _window.Length - _filled);
                input[..taken].CopyTo(_window.AsSpan(_filled));
                input = input[taken..];
                _filled += taken;
                written += Filter(window, taps, outputAt + written);
                DropPassed();
            }
        }

        _produced += written;
        return written;
    }

    private unsafe int Filter(float* window, float* taps, float* output)
    {
        PolyphaseKernel kernel = PolyphaseKernel.Widest;
        int written = 0, last = _filled - _tapCount;

        // After _up outputs the phases come round again, _down samples on: eight rounds share each phase's taps.
        for (; _at + (8 * _down) <= last; _at += 7 * _down, written += 7 * _up)
        {
            for (int i = 0; i < _up; i++, written++, Step())
            {
                kernel.Eight(window + _at, _down, taps + ((nint)_phase * _tapCount), _tapCount, output + written, _up);
            }
        }

        for (; _at <= last; written++, Step())
        {
            output[written] = kernel.One(window + _at, taps + ((nint)_phase * _tapCount), _tapCount);
        }

        return written;
    }

    private void Step()
    {
        _phase += _down;
        _at += _phase / _up;
        _phase %= _up;
    }

    /// <summary>Moves what the next output needs to the front; a long step may pass beyond what has come.</summary>
    private void DropPassed()
    {
        int dropped = Math.Min(_at, _filled);
        _window.AsSpan(dropped, _filled - dropped).CopyTo(_window);
        _filled -= dropped;
        _at -= dropped;
    }

    /// <summary>
    /// Output at i + phase/up takes sample i − delay + k times the prototype at (delay − k)·up + phase from its
    /// middle, and the prototype is symmetric.
    /// </summary>
    private float[] Phases(double[] prototype)
    {
        var taps = new float[_up * _tapCount];
        for (int phase = 0; phase < _up; phase++)
        {
            for (int k = phase == 0 ? 0 : 1; k <= 2 * _delay; k++)
            {
                taps[(phase * _tapCount) + k] = (float)(_up * prototype[(k * _up) - phase]);
            }
        }

        return taps;
    }
}
