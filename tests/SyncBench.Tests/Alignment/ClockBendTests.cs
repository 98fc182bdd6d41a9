using SyncBench.Alignment;

namespace SyncBench.Tests.Alignment;

public class ClockBendTests
{
    /// <summary>A line through a parabola by least squares errs by 2/3 of its height at the ends and 1/3 in the middle.</summary>
    [Fact]
    public void OfABentClock_TheWorstMomentsAreMadeAlike()
    {
        double middle = ClockBend.Middle(Clip(2400, t => 0.0006 * (Math.Pow((t / 1200) - 1, 2) - (1.0 / 3))));

        // The parts of three minutes reach not quite to the ends.
        Assert.Equal(0.0006 / 6, middle, 0.00003);
    }

    [Fact]
    public void AStraightClock_IsLeftAlone() => Assert.Equal(0, ClockBend.Middle(Clip(2400, _ => 0)));

    [Fact]
    public void AShortClip_ShowsNoBend() => Assert.Equal(0, ClockBend.Middle(Clip(600, t => 0.001 * t / 600)));

    private static IEnumerable<(double, double)> Clip(int seconds, Func<double, double> off)
    {
        var random = new Random(1);
        return [.. Enumerable.Range(0, seconds / 5).Select(i => (i * 5.0, off(i * 5.0) + (0.00002 * (random.NextDouble() - 0.5))))];
    }
}
