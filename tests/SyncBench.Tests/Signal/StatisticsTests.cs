using SyncBench.Signal;

namespace SyncBench.Tests.Signal;

public class StatisticsTests
{
    private static readonly SciPyFixture SciPy = SciPyFixture.Open("quantiles.json");

    /// <summary>Oracle: fixtures/signal/quantiles.json, numpy.median.</summary>
    [Fact]
    public void Median_AgreesWithNumPy_OfAnOddAndOfAnEvenCount()
    {
        Assert.Equal(SciPy.Number("median"), Statistics.Median(SciPy.Numbers("x").AsSpan()), 1e-12);
        Assert.Equal(SciPy.Number("median_of_first_100"), Statistics.Median(SciPy.Numbers("x").AsSpan(..100)), 1e-12);
    }

    [Fact]
    public void Median_OfFloats_IsThatOfDoubles()
    {
        float[] floats = [.. SciPy.Numbers("x").Select(x => (float)x)];
        Assert.Equal((float)SciPy.Number("median"), Statistics.Median(floats.AsSpan()));
    }

    /// <summary>Oracle: fixtures/signal/quantiles.json, scipy.stats.median_abs_deviation(scale='normal').</summary>
    [Fact]
    public void MedianAbsoluteDeviation_AgreesWithSciPy() =>
        Assert.Equal(SciPy.Number("mad"), Statistics.MedianAndSpread(SciPy.Numbers("x").AsSpan()).Spread, 1e-12);

    /// <summary>Oracle: fixtures/signal/quantiles.json, numpy.quantile(method='linear').</summary>
    [Fact]
    public void Quantile_AgreesWithNumPy()
    {
        double[] expected = SciPy.Numbers("quantiles");
        double[] probabilities = SciPy.Numbers("probabilities");
        for (int i = 0; i < expected.Length; i++)
        {
            Assert.Equal(expected[i], Statistics.Quantile(SciPy.Numbers("x").AsSpan(), probabilities[i]), 1e-9);
        }
    }

    [Theory]
    [InlineData("ascending")]
    [InlineData("descending")]
    [InlineData("equal")]
    [InlineData("organ pipe")]
    [InlineData("few values")]
    [InlineData("random")]
    public void Quantile_OfAnyOrder_IsThatOfTheSorted(string order)
    {
        const int Count = 10_001;
        var random = new Random(1);
        double[] values =
        [
            .. Enumerable.Range(0, Count).Select(i => order switch
            {
                "ascending" => i,
                "descending" => -i,
                "equal" => 1,
                "organ pipe" => Math.Min(i, Count - i),
                "few values" => random.Next(3),
                _ => random.NextDouble(),
            }),
        ];
        double[] sorted = [.. values.Order()];

        foreach (int index in (int[])[0, 1, 2_500, 5_000, 9_999, 10_000])
        {
            Assert.Equal(sorted[index], Statistics.Quantile([.. values], index / 10_000.0), 1e-9);
        }
    }

    [Fact]
    public void RefusesNothing_AndNoProbability()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Statistics.Median(Span<double>.Empty));
        Assert.Throws<ArgumentOutOfRangeException>(() => Statistics.Quantile<double>([1.0], 1.1));
    }
}
