using System.Runtime.InteropServices;

namespace SyncBench.Signal;

/// <summary>
/// Fits a line through points of which up to a quarter may be wrong: the median of slopes to begin with (Theil 1950;
/// Sen, J. Amer. Statist. Assoc. 63, 1968), then least squares re-weighted by Tukey's biweight (Beaton and Tukey,
/// Technometrics 16, 1974).
/// </summary>
public static class RobustLine
{
    /// <summary>In units of scale: further off, a point counts nothing. 95 % efficient for normal errors.</summary>
    private const double Cutoff = 4.685;

    private const int MostPointsForAllPairs = 400;

    private const int PairsDrawn = 80_000;

    private const int MostRounds = 100;

    /// <param name="x">At least two different values.</param>
    /// <param name="y">As many as <paramref name="x"/>.</param>
    /// <param name="minScale">
    /// The least standard deviation that a good point is thought to have, in units of y, above 0: without it, points
    /// that agree exactly would make every other point wrong.
    /// </param>
    /// <exception cref="ArgumentException">Counts differ, or no two values of x.</exception>
    public static LineFit Fit(ReadOnlySpan<double> x, ReadOnlySpan<double> y, double minScale)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(minScale);
        (double intercept, double slope) = TheilSen(x, y);
        var residuals = new double[x.Length];
        var scratch = new double[x.Length];
        var weights = new double[x.Length];
        double scale = 0;
        for (int round = 0; round < MostRounds; round++)
        {
            scale = Weigh(x, y, intercept, slope, minScale, residuals, scratch, weights);
            (double nextIntercept, double nextSlope) = LeastSquares(x, y, weights, intercept, slope);
            double change = LargestChange(x, nextIntercept - intercept, nextSlope - slope);
            (intercept, slope) = (nextIntercept, nextSlope);
            if (change < 1e-9 * scale)
            {
                break;
            }
        }

        scale = Weigh(x, y, intercept, slope, minScale, residuals, scratch, weights);
        return WithErrors(x, intercept, slope, scale, residuals, weights);
    }

    /// <summary>
    /// Slope: the median over pairs of points; all pairs of up to 400 points, else 80,000 pairs drawn always alike.
    /// Intercept: the median of y − slope·x.
    /// </summary>
    internal static (double Intercept, double Slope) TheilSen(ReadOnlySpan<double> x, ReadOnlySpan<double> y)
    {
        if (x.Length != y.Length)
        {
            throw new ArgumentException($"{x.Length} values of x, {y.Length} of y.", nameof(y));
        }

        var slopes = new List<double>();
        if (x.Length <= MostPointsForAllPairs)
        {
            for (int i = 0; i < x.Length; i++)
            {
                for (int j = 0; j < i; j++)
                {
                    AddSlope(slopes, x, y, i, j);
                }
            }
        }
        else
        {
            // Weyl's sequence in two dimensions by roots of the plastic number: even cover, no chance involved.
            const double StepI = 0.7548776662466927, StepJ = 0.5698402909980532;
            for (int pair = 1; pair <= PairsDrawn; pair++)
            {
                AddSlope(slopes, x, y, (int)(pair * StepI % 1 * x.Length), (int)(pair * StepJ % 1 * x.Length));
            }
        }

        if (slopes.Count == 0)
        {
            throw new ArgumentException("A line needs two different values of x.", nameof(x));
        }

        double slope = Statistics.Median(CollectionsMarshal.AsSpan(slopes));
        var intercepts = new double[x.Length];
        for (int i = 0; i < x.Length; i++)
        {
            intercepts[i] = y[i] - (slope * x[i]);
        }

        return (Statistics.Median(intercepts), slope);
    }

    private static void AddSlope(List<double> slopes, ReadOnlySpan<double> x, ReadOnlySpan<double> y, int i, int j)
    {
        if (x[i] != x[j])
        {
            slopes.Add((y[i] - y[j]) / (x[i] - x[j]));
        }
    }

    private static double Weigh(
        ReadOnlySpan<double> x, ReadOnlySpan<double> y, double intercept, double slope, double minScale,
        double[] residuals, double[] scratch, double[] weights)
    {
        for (int i = 0; i < x.Length; i++)
        {
            residuals[i] = y[i] - intercept - (slope * x[i]);
        }

        residuals.CopyTo(scratch, 0);
        double scale = Math.Max(minScale, Statistics.MedianAndSpread<double>(scratch).Spread);
        for (int i = 0; i < x.Length; i++)
        {
            double u = residuals[i] / (Cutoff * scale);
            weights[i] = Math.Abs(u) >= 1 ? 0 : (1 - (u * u)) * (1 - (u * u));
        }

        return scale;
    }

    /// <summary>Keeps the line where nothing has weight, and the slope where one x has all of it.</summary>
    private static (double Intercept, double Slope) LeastSquares(
        ReadOnlySpan<double> x, ReadOnlySpan<double> y, double[] weights, double intercept, double slope)
    {
        double weight = 0, meanX = 0, meanY = 0;
        for (int i = 0; i < x.Length; i++)
        {
            weight += weights[i];
            meanX += weights[i] * x[i];
            meanY += weights[i] * y[i];
        }

        if (weight == 0)
        {
            return (intercept, slope);
        }

        meanX /= weight;
        meanY /= weight;
        double spread = 0, product = 0;
        for (int i = 0; i < x.Length; i++)
        {
            spread += weights[i] * (x[i] - meanX) * (x[i] - meanX);
            product += weights[i] * (x[i] - meanX) * (y[i] - meanY);
        }

        slope = spread > 0 ? product / spread : slope;
        return (meanY - (slope * meanX), slope);
    }

    private static double LargestChange(ReadOnlySpan<double> x, double intercept, double slope)
    {
        double largest = 0;
        foreach (double at in x)
        {
            largest = Math.Max(largest, Math.Abs(intercept + (slope * at)));
        }

        return largest;
    }

    /// <summary>
    /// The asymptotic covariance of an M-estimate, scale² · Σψ²/(n − 2) / (mean ψ′)² · (XᵀX)⁻¹, with Huber's correction
    /// for few points (Huber and Ronchetti, Robust Statistics, 2nd ed. 2009, section 7.6).
    /// </summary>
    private static LineFit WithErrors(
        ReadOnlySpan<double> x, double intercept, double slope, double scale, double[] residuals, double[] weights)
    {
        int n = x.Length;
        double center = 0, psiSquared = 0, meanDerivative = 0, squaredDerivative = 0;
        for (int i = 0; i < n; i++)
        {
            double u = residuals[i] / (Cutoff * scale);
            double psi = residuals[i] / scale * weights[i];
            double derivative = Math.Abs(u) >= 1 ? 0 : (1 - (u * u)) * (1 - (5 * u * u));
            center += x[i] / n;
            psiSquared += psi * psi;
            meanDerivative += derivative / n;
            squaredDerivative += derivative * derivative / n;
        }

        double spread = 0;
        for (int i = 0; i < n; i++)
        {
            spread += (x[i] - center) * (x[i] - center);
        }

        double variance = double.PositiveInfinity;
        if (n > 2 && meanDerivative > 0)
        {
            double varying = (squaredDerivative / (meanDerivative * meanDerivative)) - 1;
            double correction = 1 + (2.0 / n * varying);
            variance = scale * scale * correction * correction * psiSquared / (n - 2)
                / (meanDerivative * meanDerivative);
        }

        double slopeError = Math.Sqrt(variance / spread), centerError = Math.Sqrt(variance / n);
        return new LineFit(
            intercept,
            slope,
            scale,
            double.Hypot(centerError, slopeError * center),
            slopeError,
            center,
            centerError,
            [.. weights]);
    }
}
