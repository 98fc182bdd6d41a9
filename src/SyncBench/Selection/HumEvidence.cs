using System.Numerics;

namespace SyncBench.Selection;

/// <summary>By how much sines that keep height and phase on the mains and its harmonics explain a channel better than noise alone.</summary>
/// <remarks>
/// A voice crosses a line and goes on, or holds it for less than 1.5 s; hum turns on all its lines at the speeds that one frequency
/// of the mains gives, so it adds up where a voice cancels itself and is told far beneath speech. The generalised likelihood ratio of
/// a sine of unknown height and phase in Gaussian noise of unknown power (S. M. Kay, Fundamentals of Statistical Signal Processing II,
/// 1998, from memory), for the likeliest frequency; what is heard while it is loud beside a line counts less.
/// </remarks>
internal sealed class HumEvidence
{
    /// <summary>1.5 s of <see cref="LineLevels"/>.</summary>
    public const int Window = 30;

    /// <summary>
    /// Tries to either side, each 0.05 % from the next: the mains keeps within 1 % of its frequency (EN 50160, from memory). Halfway between
    /// two tries a sine at 360 Hz has turned by 0.14 from one end of a window to the other.
    /// </summary>
    private const int Tries = 20;

    /// <summary>All lines are multiples of 10 Hz, so after this many steps each has turned by whole turns more than by the next try.</summary>
    private const int Turn = 4000;

    /// <summary>Some noise is always expected, in shares of the noise beside the line: a single tone is not beyond all doubt.</summary>
    private const double LeastNoise = 0.3;

    /// <summary>e²: two lines at least are hum, one may be anything.</summary>
    private const double Most = 7.4;

    private static readonly Complex[] Circle =
        [.. Enumerable.Range(0, Turn).Select(part => Complex.FromPolarCoordinates(1, -Math.Tau * part / Turn))];

    private readonly LineLevels _levels;
    private readonly int[] _lines;
    private readonly Heard[] _recent;
    private readonly Complex[] _sums;
    private readonly double[] _weights;
    private readonly double[] _powers;

    private HumEvidence(LineLevels levels, int[] lines)
    {
        (_levels, _lines) = (levels, lines);
        _recent = new Heard[Window * lines.Length];
        _sums = new Complex[((2 * Tries) + 1) * lines.Length];
        (_weights, _powers) = (new double[lines.Length], new double[lines.Length]);
    }

    /// <summary>Log-likelihood ratio of the window about each step.</summary>
    /// <param name="lines">Of <see cref="LineLevels.Hz"/>: the mains and its harmonics.</param>
    public static float[] Of(LineLevels levels, int[] lines)
    {
        var evidence = new float[levels.Steps];
        var running = new HumEvidence(levels, lines);
        for (int step = 0; step < evidence.Length; step++)
        {
            running.Add(step);
            if (step >= Window - 1)
            {
                evidence[step + 1 - (Window / 2)] = (float)Math.Log(running.Likeliest());
            }
        }

        return evidence;
    }

    private void Add(int step)
    {
        for (int i = 0; i < _lines.Length; i++)
        {
            ref Heard heard = ref _recent[(step % Window * _lines.Length) + i];
            Count(heard, step - Window, i, -1);
            Complex phasor = _levels.Phasor(step, _lines[i]);
            double weight = 1 / _levels.NoisePower(step, _lines[i]);
            heard = new Heard(weight * phasor, weight, weight * phasor.Magnitude * phasor.Magnitude);
            Count(heard, step, i, 1);
        }
    }

    private void Count(Heard heard, int step, int i, int sign)
    {
        _weights[i] += sign * heard.Weight;
        _powers[i] += sign * heard.Power;
        int tens = LineLevels.Hz[_lines[i]] / 10;
        for (int off = -Tries; off <= Tries; off++)
        {
            long part = (long)tens * off * step % Turn;
            _sums[((off + Tries) * _lines.Length) + i] += sign * heard.Weighted * Circle[part < 0 ? part + Turn : part];
        }
    }

    private double Likeliest()
    {
        double likeliest = 1;
        for (int off = 0; off <= 2 * Tries; off++)
        {
            double ratio = 1;
            for (int i = 0; i < _lines.Length; i++)
            {
                Complex sum = _sums[(off * _lines.Length) + i];
                double explained = ((sum.Real * sum.Real) + (sum.Imaginary * sum.Imaginary)) / _weights[i];
                ratio *= Math.Min(Most, 1 + (explained / (Math.Max(0, _powers[i] - explained) + (LeastNoise * Window))));
            }

            likeliest = Math.Max(likeliest, ratio);
        }

        return likeliest;
    }

    /// <summary>What is heard on a line at one step, weighed by the noise beside it.</summary>
    private readonly record struct Heard(Complex Weighted, double Weight, double Power);
}
