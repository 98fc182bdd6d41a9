using System.Numerics;
using System.Runtime.InteropServices;

namespace SyncBench.Scenes;

/// <summary>
/// Values of a band-limited signal between its samples: the sum of samples weighted by a sinc under a Kaiser window.
/// </summary>
/// <remarks>
/// A. V. Oppenheim, R. W. Schafer, "Discrete-Time Signal Processing", section on Kaiser window design (from memory):
/// β = 0.1102·(A − 8.7), length = (A − 7.95)/(2.285·Δω) for A dB of stop band. The stop band begins at half the lower
/// of both rates, so no image is left. Independent of the product's own resampler on purpose.
/// Weights are kept for 1024 places between two samples and joined by straight lines: the error of a line is
/// h″/8·δ², at most (π²/3)/8/1024² = −128 dB.
/// </remarks>
public sealed class WindowedSinc
{
    public const double StopBandDb = 110;

    private const int Phases = 1024;

    private readonly float[] _weights; // [phase][tap], Phases + 1 rows
    private readonly int _taps;

    /// <param name="ratio">Output rate over input rate; below 1 the pass band shrinks with it.</param>
    /// <param name="taps">Samples looked at for one value where the ratio is 1 or more.</param>
    public WindowedSinc(double ratio = 1, int taps = 96)
    {
        double scale = Math.Min(1, ratio);
        int wanted = (int)Math.Ceiling(taps / scale);
        _taps = (wanted + 15) / 16 * 16; // whole registers
        double transition = (StopBandDb - 7.95) / (14.36 * taps) * scale; // cycles a sample
        double cutoff = (0.5 * scale) - (transition / 2);
        PassBand = 0.5 * scale - transition;
        double half = wanted / 2.0;
        double beta = 0.1102 * (StopBandDb - 8.7);
        double windowScale = 1 / BesselI0(beta);

        _weights = new float[(Phases + 1) * _taps];
        var row = new double[_taps];
        for (int phase = 0; phase <= Phases; phase++)
        {
            double fraction = (double)phase / Phases;
            double sum = 0;
            for (int tap = 0; tap < _taps; tap++)
            {
                double x = tap - Before - fraction;
                double inside = 1 - (x / half * (x / half));
                double window = inside > 0 ? BesselI0(beta * Math.Sqrt(inside)) * windowScale : 0;
                row[tap] = window * 2 * cutoff * Sinc(2 * cutoff * x);
                sum += row[tap];
            }

            for (int tap = 0; tap < _taps; tap++)
            {
                // Gain at 0 Hz is one at every phase, so that no phase is louder than another.
                _weights[(phase * _taps) + tap] = (float)(row[tap] / sum);
            }
        }
    }

    /// <summary>Highest frequency that passes unchanged, in cycles an input sample.</summary>
    public double PassBand { get; }

    public int Taps => _taps;

    /// <summary>Samples before the asked-for place that have a say in it.</summary>
    public int Before => (_taps / 2) - 1;

    /// <summary>The signal at <paramref name="position"/>, counted in samples; silence is assumed beyond its ends.</summary>
    public float At(ReadOnlySpan<float> samples, double position)
    {
        double floor = Math.Floor(position);
        long first = (long)floor - Before;
        (int row, float toNext) = Phase(position - floor);
        ReadOnlySpan<float> low = _weights.AsSpan(row * _taps, _taps);
        ReadOnlySpan<float> high = _weights.AsSpan((row + 1) * _taps, _taps);
        if (first < 0 || first + _taps > samples.Length)
        {
            double edge = 0;
            for (int tap = (int)Math.Max(0, -first); tap < _taps && first + tap < samples.Length; tap++)
            {
                edge += samples[(int)(first + tap)] * (low[tap] + (toNext * (high[tap] - low[tap])));
            }

            return (float)edge;
        }

        ReadOnlySpan<Vector<float>> x = MemoryMarshal.Cast<float, Vector<float>>(samples.Slice((int)first, _taps));
        ReadOnlySpan<Vector<float>> a = MemoryMarshal.Cast<float, Vector<float>>(low);
        ReadOnlySpan<Vector<float>> b = MemoryMarshal.Cast<float, Vector<float>>(high);
        var blend = new Vector<float>(toNext);
        Vector<float> sum = Vector<float>.Zero;
        for (int i = 0; i < x.Length; i++)
        {
            sum += x[i] * (a[i] + (blend * (b[i] - a[i])));
        }

        return Vector.Sum(sum);
    }

    /// <summary>
    /// Adds a pulse of the given height at a place between two samples: what <see cref="At"/> reads, turned round.
    /// </summary>
    public void AddPulse(Span<float> samples, double position, double height)
    {
        double floor = Math.Floor(position);

        // Sample n takes the sinc at n − position; the rows hold it at tap − Before − fraction.
        long first = (long)floor - Before;
        (int row, float toNext) = Phase(position - floor);
        int begin = (int)Math.Max(0, -first);
        int end = (int)Math.Min(_taps, samples.Length - first);
        for (int tap = begin; tap < end; tap++)
        {
            float low = _weights[(row * _taps) + tap];
            float high = _weights[((row + 1) * _taps) + tap];
            samples[(int)(first + tap)] += (float)(height * (low + (toNext * (high - low))));
        }
    }

    private static (int Row, float ToNext) Phase(double fraction)
    {
        double place = fraction * Phases;
        int row = Math.Min((int)place, Phases - 1);
        return (row, (float)(place - row));
    }

    private static double Sinc(double x) => Math.Abs(x) < 1e-12 ? 1 : Math.Sin(Math.PI * x) / (Math.PI * x);

    /// <summary>Modified Bessel function of the first kind, order zero: Σ ((x/2)^k / k!)².</summary>
    private static double BesselI0(double x)
    {
        double term = 1, sum = 1;
        for (int k = 1; term > 1e-17 * sum; k++)
        {
            term *= x / 2 / k * (x / 2 / k);
            sum += term;
        }

        return sum;
    }
}
