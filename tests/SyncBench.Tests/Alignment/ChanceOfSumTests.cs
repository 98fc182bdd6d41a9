using SyncBench.Alignment;

namespace SyncBench.Tests.Alignment;

public class ChanceOfSumTests
{
    private const int Values = 500;
    private const int Draws = 2_000_000;

    /// <summary>The reference is the definition itself: values drawn from the rows by System.Random and counted.</summary>
    [Theory]
    [InlineData(3, 1e-2)]
    [InlineData(3, 1e-4)]
    [InlineData(12, 1e-2)]
    [InlineData(12, 1e-4)]
    public void OfRareSums_IsTheShareOfRandomDrawsThatReachThem(int rowCount, double share)
    {
        var random = new Random(rowCount);
        float[][] rows = [.. Enumerable.Range(0, rowCount).Select(_ => Row(random))];
        double[] sums = new double[Draws];
        for (int n = 0; n < Draws; n++)
        {
            foreach (float[] row in rows)
            {
                sums[n] += row[random.Next(Values)];
            }
        }

        Array.Sort(sums);
        double reached = sums[Draws - (int)(share * Draws)];

        double chance = Math.Exp(new ChanceOfSum(Values).Log(rows, reached));

        Assert.InRange(chance / share, 0.7, 1.4);
    }

    [Fact]
    public void OfTheMeanOrLess_IsOne() =>
        Assert.Equal(0, new ChanceOfSum(Values).Log([Row(new Random(1))], -5));

    [Fact]
    public void OfTheHighestValueOfEveryRow_IsThatOfDrawingAllOfThem()
    {
        float[][] rows = [.. Enumerable.Range(0, 4).Select(i => Row(new Random(i)))];
        foreach (float[] row in rows)
        {
            row[17] = 8; // one value of each 500 is far above the others
        }

        double log = new ChanceOfSum(Values).Log(rows, 32);

        Assert.InRange(log - (4 * Math.Log(1.0 / Values)), -0.8, 0.1);
    }

    /// <summary>Like a whitened correlation: a Gaussian with a longer tail upwards, cut at 8.</summary>
    private static float[] Row(Random random) =>
    [
        .. Enumerable.Range(0, Values).Select(_ =>
        {
            double x = Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble());
            return (float)Math.Clamp(x + (x > 0 ? 0.2 * x * x : 0), -3, 8);
        }),
    ];
}
