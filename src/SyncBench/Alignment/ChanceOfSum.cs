using System.Numerics.Tensors;
using MathNet.Numerics;

namespace SyncBench.Alignment;

/// <summary>
/// How likely values drawn at random, one out of each row, sum to so much: the null distribution of a line whose rows
/// have nothing to do with each other, so that any shift of one against another is as good.
/// </summary>
/// <remarks>
/// Saddlepoint approximation of a tail, with the rows' own cumulants: K(θ) = Σ ln mean e^{θx} is tilted to where its
/// mean is the sum found, K′(θ) = s, and P ≈ e^{K−θs}·½·erfcx(θ·√(K″/2)) (H. E. Daniels, "Tail probability
/// approximations", Int. Stat. Rev. 55, 1987; after F. Esscher 1932; from memory). The first factor alone is the
/// Chernoff bound, which gives away a factor of about θ·√(2πK″), ten and more here.
/// </remarks>
internal sealed class ChanceOfSum(int valuesInRow)
{
    /// <summary>Where the sum is nearly the highest that the rows allow, θ would grow without end.</summary>
    private const double MostTilt = 12;

    private const int Rounds = 40;
    private const double CloseEnough = 1e-3;

    private readonly float[] _powers = new float[valuesInRow];

    /// <summary>Natural logarithm of the probability of <paramref name="sum"/> or more.</summary>
    internal double Log(IReadOnlyList<float[]> rows, double sum)
    {
        double low = 0, high = MostTilt, theta = 1;
        (double k, double mean, double variance) = Cumulants(rows, 0);
        if (sum <= mean)
        {
            return 0;
        }

        // Newton's steps, kept between tilts known to be too small and too large.
        for (int round = 0; round < Rounds; round++)
        {
            (k, mean, variance) = Cumulants(rows, theta);
            double off = sum - mean;
            if (Math.Abs(off) <= CloseEnough * Math.Sqrt(variance) || high - low < 1e-6)
            {
                break;
            }

            (low, high) = off > 0 ? (theta, high) : (low, theta);
            double next = theta + (off / variance);
            theta = next > low && next < high ? next : (low + high) / 2;
        }

        return Math.Min(0, k - (theta * sum) + LogHalfErfcx(theta * Math.Sqrt(variance)));
    }

    private (double K, double Mean, double Variance) Cumulants(IReadOnlyList<float[]> rows, double theta)
    {
        double k = 0, mean = 0, variance = 0;
        foreach (float[] row in rows)
        {
            float highest = TensorPrimitives.Max<float>(row);
            TensorPrimitives.Subtract(row, highest, _powers);
            TensorPrimitives.Multiply(_powers, (float)theta, _powers);
            TensorPrimitives.Exp<float>(_powers, _powers);
            double weight = TensorPrimitives.Sum<float>(_powers);
            double first = TensorPrimitives.Dot<float>(_powers, row) / weight;
            TensorPrimitives.Multiply(_powers, row, _powers);
            double second = TensorPrimitives.Dot<float>(_powers, row) / weight;
            k += (theta * highest) + Math.Log(weight / row.Length);
            mean += first;
            variance += Math.Max(0, second - (first * first));
        }

        return (k, mean, variance);
    }

    /// <summary>ln(½·e^{λ²/2}·erfc(λ/√2)); beyond 20 the first terms of its series.</summary>
    private static double LogHalfErfcx(double lambda) => lambda < 20
        ? (lambda * lambda / 2) + Math.Log(0.5 * SpecialFunctions.Erfc(lambda / Math.Sqrt(2)))
        : -Math.Log(lambda * Math.Sqrt(2 * Math.PI)) - (1 / (lambda * lambda));
}
