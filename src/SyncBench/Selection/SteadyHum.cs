using System.Numerics;

namespace SyncBench.Selection;

/// <summary>Hum as a sine on each of its lines that keeps its height and its phase, which no voice does.</summary>
/// <remarks>
/// Where it begins and ends is the likeliest point of change: each step says by its log-likelihood ratio, for Gaussian noise of the
/// power beside the line, whether the sine is in it (coherent detection of a known signal; S. M. Kay, Fundamentals of Statistical
/// Signal Processing II, 1998, from memory). The sine is fitted to the 3 s inside the edge, for the mains' frequency wanders.
/// </remarks>
/// <param name="lines">Of <see cref="LineLevels.Hz"/>: the mains and its harmonics.</param>
internal sealed class SteadyHum(LineLevels levels, int[] lines)
{
    /// <summary>3 s.</summary>
    private const int Fitted = 60;

    /// <summary>5 s.</summary>
    private const int Reach = 100;

    /// <summary>The mains keeps within 1 % of its frequency (EN 50160, from memory).</summary>
    private const double Widest = 0.01;
    private const double Finest = 1e-4;

    /// <summary>So much one line of one step may say: a voice on it is no Gaussian noise.</summary>
    private const double Most = 3;

    /// <summary>Where the hum begins or ends, in steps of the lines and parts of them.</summary>
    /// <param name="shown">Middles of the windows that show it.</param>
    /// <param name="direction">1 for its end, −1 for its beginning.</param>
    public double Edge((int First, int End) shown, int direction)
    {
        const int Half = HumEvidence.Window / 2;
        int middle = (shown.First + shown.End) / 2;
        middle = direction < 0 ? Math.Min(middle, shown.First + Half) : Math.Max(middle, shown.End - Half);
        Sine sine = Fit(middle - Half, middle + Half);
        int edge = Last(sine);
        sine = direction < 0
            ? Fit(edge, Math.Min(edge + Fitted, Math.Max(shown.End, middle + Half)))
            : Fit(Math.Max(edge + 1 - Fitted, Math.Min(shown.First, middle - Half)), edge + 1);
        return Between(sine, Last(sine), direction);

        int Last(Sine of)
        {
            int low = Math.Max(0, shown.First - Reach), high = Math.Min(levels.Steps, shown.End + Reach);
            return low + FaultSpans.LastOf(i => Evidence(of, low + i), high - low, middle - low, direction);
        }
    }

    /// <summary>Height and phase on each line, and by what share the mains is off its frequency, that fit best.</summary>
    private Sine Fit(int from, int to)
    {
        var best = new Sine(0, from, []);
        double highest = double.NegativeInfinity;
        (Complex[] Weighted, double Weights)[] heard = [.. lines.Select(line => Heard(line, from, to))];
        foreach (double off in Offsets())
        {
            var heights = new Complex[lines.Length];
            double explained = 0;
            for (int i = 0; i < heights.Length; i++)
            {
                (Complex[] weighted, double weights) = heard[i];
                Complex sum = Complex.Zero;
                for (int step = from; step < to; step++)
                {
                    sum += weighted[step - from] * Turned(lines[i], off, from - step);
                }

                heights[i] = sum / weights;
                explained += sum.Magnitude * sum.Magnitude / weights;
            }

            if (explained > highest)
            {
                (highest, best) = (explained, new Sine(off, from, heights));
            }
        }

        return best;
    }

    /// <summary>What is heard on a line at each step, weighed by the noise beside it, and the sum of the weights.</summary>
    private (Complex[] Weighted, double Weights) Heard(int line, int from, int to)
    {
        var weighted = new Complex[to - from];
        double weights = 0;
        for (int step = from; step < to; step++)
        {
            double weight = 1 / levels.NoisePower(step, line);
            weighted[step - from] = weight * levels.Phasor(step, line);
            weights += weight;
        }

        return (weighted, weights);
    }

    private static IEnumerable<double> Offsets()
    {
        for (double off = -Widest; off <= Widest; off += Finest)
        {
            yield return off;
        }
    }

    private float Evidence(Sine sine, int step)
    {
        double sum = 0;
        for (int i = 0; i < lines.Length; i++)
        {
            (double along, double power) = Projected(sine, i, step);
            sum += Math.Clamp(((2 * along) - power) / levels.NoisePower(step, lines[i]), -Most, Most);
        }

        return (float)sum;
    }

    /// <summary>Where the sine has half of its height: there half of the window holds it.</summary>
    private double Between(Sine sine, int last, int direction)
    {
        int beyond = last + direction;
        if (beyond < 0 || beyond >= levels.Steps)
        {
            return last;
        }

        double here = Height(sine, last) - 0.5, there = Height(sine, beyond) - 0.5;
        return there >= here ? last : last + (direction * Math.Clamp(here / (here - there), 0, 1));
    }

    /// <summary>How much of the sine is in a step, 1 where all is.</summary>
    private double Height(Sine sine, int step)
    {
        double sum = 0, powers = 1e-12;
        for (int i = 0; i < lines.Length; i++)
        {
            (double along, double power) = Projected(sine, i, step);
            sum += along / levels.NoisePower(step, lines[i]);
            powers += power / levels.NoisePower(step, lines[i]);
        }

        return sum / powers;
    }

    private (double Along, double Power) Projected(Sine sine, int i, int step)
    {
        Complex expected = sine.Heights[i] * Turned(lines[i], sine.Off, step - sine.From);
        return ((Complex.Conjugate(expected) * levels.Phasor(step, lines[i])).Real, expected.Magnitude * expected.Magnitude);
    }

    private static Complex Turned(int line, double off, int steps) =>
        Complex.FromPolarCoordinates(1, Math.Tau * LineLevels.Hz[line] * off * steps / LineLevels.StepRate.PerSecond);

    /// <param name="Off">By what share the mains is off its frequency.</param>
    /// <param name="From">The step at which its phases hold.</param>
    private sealed record Sine(double Off, int From, Complex[] Heights);
}
