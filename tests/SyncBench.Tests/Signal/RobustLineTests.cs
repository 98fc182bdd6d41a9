using MathNet.Numerics.Distributions;
using SyncBench.Signal;

namespace SyncBench.Tests.Signal;

public class RobustLineTests
{
    /// <summary>Oracle: fixtures/signal/line.json, scipy.stats.theilslopes(method='joint').</summary>
    [Fact]
    public void TheilSen_AgreesWithSciPy()
    {
        SciPyFixture scipy = SciPyFixture.Open("line.json");
        (double intercept, double slope) = RobustLine.TheilSen(scipy.Numbers("x"), scipy.Numbers("y"));
        Assert.Equal(scipy.Number("theil_slope"), slope, 1e-15);
        Assert.Equal(scipy.Number("theil_intercept"), intercept, 1e-13);
    }

    /// <summary>Oracle: fixtures/signal/line.json, the biweight's loss itself brought down by scipy.optimize.</summary>
    [Fact]
    public void Fit_AgreesWithTheLeastOfTheLoss()
    {
        SciPyFixture scipy = SciPyFixture.Open("line.json");
        LineFit fit = RobustLine.Fit(scipy.Numbers("x"), scipy.Numbers("y"), minScale: 1e-9);
        Assert.Equal(scipy.Number("scale"), fit.Scale, 1e-10);
        Assert.Equal(scipy.Number("slope"), fit.Slope, 1e-12);
        Assert.Equal(scipy.Number("intercept"), fit.Intercept, 1e-10);
    }

    [Theory]
    [InlineData(10)]
    [InlineData(200)]
    [InlineData(5_000)]
    public void Fit_OfALineWithAQuarterOfItAstray_IsTheLine(int count)
    {
        (double[] x, double[] y) = Line(count, noise: 0, seed: 1);
        for (int i = 0; i < count; i += 4)
        {
            y[i] += 0.5 + (0.001 * i);
        }

        LineFit fit = RobustLine.Fit(x, y, minScale: 1e-6);

        Assert.Equal(2.5, fit.Intercept, 1e-9);
        Assert.Equal(35e-6, fit.Slope, 1e-12);
        Assert.Equal(1e-6, fit.Scale);
        for (int i = 0; i < count; i++)
        {
            Assert.Equal(i % 4 == 0 ? 0 : 1, fit.Weights[i], 1e-6);
        }
    }

    /// <summary>Five hundred lines with normal errors: the estimates scatter as their stated errors say.</summary>
    [Fact]
    public void Fit_StatesErrorsThatTheEstimatesHave()
    {
        const int Trials = 500, Count = 60;
        double slopeVariance = 0, interceptVariance = 0, statedSlope = 0, statedIntercept = 0, scale = 0;
        for (int seed = 0; seed < Trials; seed++)
        {
            (double[] x, double[] y) = Line(Count, noise: 1e-4, seed);
            LineFit fit = RobustLine.Fit(x, y, minScale: 1e-9);
            slopeVariance += Math.Pow(fit.Slope - 35e-6, 2) / Trials;
            interceptVariance += Math.Pow(fit.Intercept - 2.5, 2) / Trials;
            statedSlope += fit.SlopeError * fit.SlopeError / Trials;
            statedIntercept += fit.InterceptError * fit.InterceptError / Trials;
            scale += fit.Scale / Trials;
        }

        Assert.InRange(Math.Sqrt(statedSlope / slopeVariance), 0.9, 1.1);
        Assert.InRange(Math.Sqrt(statedIntercept / interceptVariance), 0.9, 1.1);
        Assert.InRange(scale, 0.9e-4, 1.1e-4);
    }

    [Fact]
    public void ErrorAt_IsLeastAtTheCenter_AndInterceptErrorAtZero()
    {
        (double[] x, double[] y) = Line(50, noise: 1e-4, seed: 2);
        LineFit fit = RobustLine.Fit(x, y, minScale: 1e-9);
        Assert.Equal(x.Average(), fit.Center, 1e-9);
        Assert.Equal(fit.CenterError, fit.ErrorAt(fit.Center));
        Assert.Equal(fit.InterceptError, fit.ErrorAt(0), 1e-15);
        Assert.True(fit.ErrorAt(x[^1]) > fit.CenterError);
    }

    [Fact]
    public void Fit_OfTwoPoints_IsTheLineThroughThem_OfUnknownError()
    {
        LineFit fit = RobustLine.Fit([10, 20], [1, 3], minScale: 1e-6);
        Assert.Equal(0.2, fit.Slope, 1e-12);
        Assert.Equal(-1, fit.Intercept, 1e-12);
        Assert.Equal(double.PositiveInfinity, fit.SlopeError);
    }

    [Fact]
    public void Fit_RefusesPointsThatSetNoLine()
    {
        Assert.Throws<ArgumentException>(() => RobustLine.Fit([1, 1, 1], [1, 2, 3], minScale: 1e-6));
        Assert.Throws<ArgumentException>(() => RobustLine.Fit([1, 2], [1, 2, 3], minScale: 1e-6));
        Assert.Throws<ArgumentException>(() => RobustLine.Fit([], [], minScale: 1e-6));
    }

    private static (double[] X, double[] Y) Line(int count, double noise, int seed)
    {
        var random = new Random(seed);
        double[] x = [.. Enumerable.Range(0, count).Select(i => i * 5.0)];
        double[] y =
        [
            .. x.Select(at => 2.5 + (35e-6 * at) + (noise * Normal.Sample(random, 0, 1))),
        ];
        return (x, y);
    }
}
