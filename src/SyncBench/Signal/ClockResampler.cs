using System.Collections.Concurrent;
using SyncBench.Signal.Resampling;

namespace SyncBench.Signal;

/// <summary>
/// Plays a stretch of one channel at another clock's rate, block by block: output n is the sound's value at position
/// first + n·step, counted in input samples, wherever between them that is.
/// </summary>
/// <remarks>
/// <para>
/// A sinc under a Kaiser window (as <see cref="FirDesign"/>), kept for <see cref="Phases"/> places between two samples;
/// what lies between two places is taken as a straight line (J. O. Smith, Digital audio resampling, online). The error of
/// that line is at most (π/<see cref="Phases"/>)²/8, −118 dB, at half the sample rate.
/// </para>
/// <para>
/// Flat to 85 % of half the lower rate: 20.4 kHz at 48 kHz; <see cref="AttenuationDb"/> from half the lower rate on, so
/// nothing folds. Before the first and behind the last sample is silence. One object serves one stretch.
/// </para>
/// </remarks>
public sealed class ClockResampler
{
    public const double AttenuationDb = 110;

    /// <summary>Most samples that are given at once.</summary>
    internal const int LongestOutput = 4096;

    private const double PassEdge = 0.85;
    private const int Phases = 1024;
    private const int Block = 8192;
    private const int TapMultiple = 16; // the widest register

    /// <summary>Rates of one recording differ by parts per million: those share a filter.</summary>
    private static readonly ConcurrentDictionary<double, Filter> Filters = new();

    private readonly double _first, _step;
    private readonly long _count;
    private readonly Filter _filter;
    private readonly float[] _window;
    private readonly float[] _output = new float[LongestOutput];

    private long _windowStart; // position of _window[0]
    private int _filled;
    private long _produced;

    /// <param name="first">Position of the first output.</param>
    /// <param name="step">Input samples for each output sample.</param>
    /// <param name="count">Outputs in all.</param>
    /// <exception cref="ArgumentOutOfRangeException">The step is not between 1/64 and 64.</exception>
    public ClockResampler(double first, double step, long count)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(step, 1.0 / 64);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(step, 64);
        (_first, _step, _count) = (first, step, count);
        _filter = Filters.GetOrAdd(Math.Round(Math.Max(1, step), 2), scale => new Filter(scale));
        _windowStart = (long)Math.Floor(first) - _filter.Before;
        _window = new float[Block + _filter.Taps];
        if (_windowStart < 0)
        {
            // Silence before the first sample; far before it there is no output that could be wanted.
            _filled = (int)Math.Min(-_windowStart, _filter.Taps);
            _windowStart = -_filled;
        }
    }

    /// <summary>Whether all outputs have been given.</summary>
    public bool IsDone => _produced == _count;

    /// <summary>First input sample that has a say.</summary>
    public long FirstNeeded => Math.Max(0, _windowStart);

    /// <summary>Takes the next samples; <paramref name="blockStart"/> is the position of their first.</summary>
    /// <param name="give">Receives outputs in order, some at a time.</param>
    /// <exception cref="ArgumentOutOfRangeException">Samples between the last and these are missing.</exception>
    public void Feed(ReadOnlySpan<float> block, long blockStart, Action<ReadOnlySpan<float>> give)
    {
        if (IsDone)
        {
            return;
        }

        ArgumentOutOfRangeException.ThrowIfGreaterThan(blockStart, _windowStart + _filled);
        long skipped = Math.Clamp(_windowStart + _filled - blockStart, 0, block.Length);
        block = block[(int)skipped..];
        while (!block.IsEmpty && !IsDone)
        {
            int taken = Math.Min(block.Length, _window.Length - _filled);
            block[..taken].CopyTo(_window.AsSpan(_filled));
            block = block[taken..];
            _filled += taken;
            for (int written = Fill(_output); written > 0; written = Fill(_output))
            {
                give(_output.AsSpan(0, written));
            }

            DropPassed();
        }
    }

    /// <summary>Gives the rest: behind the last sample is silence.</summary>
    public void Finish(Action<ReadOnlySpan<float>> give)
    {
        var silence = new float[Block];
        while (!IsDone)
        {
            Feed(silence, _windowStart + _filled, give);
        }
    }

    private unsafe int Fill(Span<float> output)
    {
        PolyphaseKernel kernel = PolyphaseKernel.Widest;
        int written = 0, taps = _filter.Taps;
        fixed (float* window = _window, rows = _filter.Rows)
        {
            for (; written < output.Length && !IsDone; written++, _produced++)
            {
                double position = _first + (_produced * _step);
                double floor = Math.Floor(position);
                long at = (long)floor - _filter.Before - _windowStart;
                if (at < 0)
                {
                    output[written] = 0; // silence before the first sample
                    continue;
                }

                if (at + taps > _filled)
                {
                    break;
                }

                double place = (position - floor) * Phases;
                int row = (int)place;
                output[written] = kernel.Between(window + at, rows + ((nint)row * taps), taps, (float)(place - row));
            }
        }

        return written;
    }

    private void DropPassed()
    {
        long next = (long)Math.Floor(_first + (_produced * _step)) - _filter.Before;
        int dropped = (int)Math.Clamp(next - _windowStart, 0, _filled);
        _window.AsSpan(dropped, _filled - dropped).CopyTo(_window);
        _filled -= dropped;
        _windowStart += dropped;
    }

    /// <summary>Rows of taps for places from 0 to 1 between two samples, both ends included.</summary>
    private sealed class Filter
    {
        /// <param name="scale">Input rate over output rate, at least 1: the pass band shrinks with it.</param>
        public Filter(double scale)
        {
            double transition = (1 - PassEdge) / 2 / scale; // cycles an input sample
            double length = (AttenuationDb - 7.95) / (14.36 * transition);
            Taps = ((int)Math.Ceiling(length) + TapMultiple) / TapMultiple * TapMultiple;
            double cutoff = (0.5 / scale) - (transition / 2), half = length / 2;
            double beta = FirDesign.KaiserBeta(AttenuationDb);
            Rows = new float[(Phases + 1) * Taps];
            for (int phase = 0; phase <= Phases; phase++)
            {
                FirDesign.Between(Taps, Before, (double)phase / Phases, cutoff, half, beta).CopyTo(Rows, phase * Taps);
            }
        }

        public int Taps { get; }

        public int Before => (Taps / 2) - 1;

        /// <summary>[place][tap].</summary>
        public float[] Rows { get; }
    }
}
