namespace SyncBench.Selection;

/// <summary>
/// A mixture of two normal distributions of one width, found in a histogram by expectation and maximisation
/// (A. P. Dempster, N. M. Laird, D. B. Rubin, J. Royal Statistical Society B 39(1), 1977).
/// </summary>
/// <param name="Low">Middle of the lower one.</param>
/// <param name="Spread">Standard deviation of both.</param>
/// <param name="HighShare">Share of the higher one.</param>
internal sealed record TwoClusters(double Low, double High, double Spread, double HighShare)
{
    private const int Rounds = 60;
    private const double NarrowestSpread = 1;

    /// <summary>Where the two are taken to lie at first: several, for the lower may hold very little.</summary>
    private static readonly (double Low, double High)[] Starts = [(0.02, 0.6), (0.1, 0.7), (0.25, 0.75), (0.4, 0.95)];

    public double Separation => High - Low;

    /// <summary>The likeliest mixture of the values; entry i of the weights counts the value <c>first + i·step</c>.</summary>
    /// <returns>Null where there are none.</returns>
    public static TwoClusters? Of(double first, double step, IReadOnlyList<double> weights)
    {
        double total = weights.Sum();
        if (total <= 0)
        {
            return null;
        }

        TwoClusters? best = null;
        double most = double.NegativeInfinity;
        foreach ((double low, double high) in Starts)
        {
            var found = new TwoClusters(Quantile(low), Quantile(high), 4, 0.5);
            double likelihood = 0;
            for (int round = 0; round < Rounds; round++)
            {
                (found, likelihood) = Better(found, first, step, weights, total);
            }

            if (likelihood > most)
            {
                (best, most) = (found, likelihood);
            }
        }

        return best;

        double Quantile(double share)
        {
            double seen = 0;
            int i = 0;
            while (i < weights.Count - 1 && (seen += weights[i]) < share * total)
            {
                i++;
            }

            return first + (i * step);
        }
    }

    /// <summary>Probability that a value belongs to the higher one.</summary>
    public double ShareOfHigh(double value)
    {
        double odds = ((value - ((Low + High) / 2)) * (High - Low) / (Spread * Spread)) + Math.Log(HighShare / (1 - HighShare));
        return 1 / (1 + Math.Exp(-odds));
    }

    private static (TwoClusters Next, double Likelihood) Better(
        TwoClusters now, double first, double step, IReadOnlyList<double> weights, double total)
    {
        double high = 0, highSum = 0, lowSum = 0, likelihood = 0;
        for (int i = 0; i < weights.Count; i++)
        {
            double value = first + (i * step), share = now.ShareOfHigh(value);
            high += weights[i] * share;
            highSum += weights[i] * share * value;
            lowSum += weights[i] * (1 - share) * value;
            likelihood += weights[i] * Math.Log((now.Density(value) * step) + 1e-300);
        }

        double highMiddle = highSum / Math.Max(high, 1e-9), lowMiddle = lowSum / Math.Max(total - high, 1e-9);
        double power = 0;
        for (int i = 0; i < weights.Count; i++)
        {
            double value = first + (i * step), share = now.ShareOfHigh(value);
            power += weights[i] * ((share * Square(value - highMiddle)) + ((1 - share) * Square(value - lowMiddle)));
        }

        double spread = Math.Max(NarrowestSpread, Math.Sqrt(power / total));
        return (new TwoClusters(lowMiddle, highMiddle, spread, Math.Clamp(high / total, 1e-4, 1 - 1e-4)), likelihood);
    }

    private static double Square(double x) => x * x;

    private double Density(double value) =>
        ((HighShare * Math.Exp(-Square((value - High) / Spread) / 2)) + ((1 - HighShare) * Math.Exp(-Square((value - Low) / Spread) / 2)))
        / (Spread * Math.Sqrt(Math.Tau));
}
