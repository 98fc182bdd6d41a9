using SyncBench.Signal;

namespace SyncBench.Tests.Signal;

public class PeakInterpolationTests
{
    /// <summary>Oracle: fixtures/signal/peaks.json, numpy.sinc.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    public void TheTopOfABandLimitedCurve_IsFoundToAThousandthOfASample(int index)
    {
        SciPyFixture fixture = SciPyFixture.Open("peaks.json");
        float[] curve = [.. fixture.Numbers($"curve{index}").Select(x => (float)x)];

        double top = PeakInterpolation.Locate(curve, Array.IndexOf(curve, curve.Max()));

        Assert.Equal(fixture.Numbers("tops")[index], top, 0.001);
    }

    [Fact]
    public void AtTheVeryEnd_TheHighestSampleIsTheAnswer() =>
        Assert.InRange(PeakInterpolation.Locate([0, 0, 0, 0, 1], 4), 3.5, 4.5);
}
