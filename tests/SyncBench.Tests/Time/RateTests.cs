using SyncBench.Time;

namespace SyncBench.Tests.Time;

public class RateTests
{
    [Fact]
    public void ARate_IsReduced() => Assert.Equal(Rate.Fps25, new Rate(50_000, 2_000));

    [Fact]
    public void TheNearestDouble_IsThatOfTheFraction() => Assert.Equal(30_000.0 / 1_001, Rate.Ntsc30.PerSecond);

    [Fact]
    public void AUnit_TimesTheRate_IsASecond() =>
        Assert.Equal(MediaTime.FromSeconds(1001), MediaTime.FromUnits(30_000, Rate.Ntsc30));

    [Theory]
    [InlineData(0, 1)]
    [InlineData(25, 0)]
    [InlineData(-25, 1)]
    public void ARateThatIsNone_IsRefused(int numerator, int denominator) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new Rate(numerator, denominator));
}
