namespace SyncBench.Tests.Standards.Loudness;

/// <summary>
/// EBU Tech 3342, Loudness range, test signals 1 to 4 and the tolerance of 1 LU (from memory, as in public test suites of
/// the EBU's set). Signals 5 and 6 are recordings and can't be made here.
/// </summary>
public class Tech3342Tests
{
    [Theory]
    [InlineData(10, new double[] { -20, -30 })]
    [InlineData(5, new double[] { -20, -15 })]
    [InlineData(20, new double[] { -40, -20 })]
    [InlineData(15, new double[] { -50, -35, -20, -35, -50 })]
    public void StretchesOf20Seconds_HaveTheRangeOfTheirLevels(double rangeLu, double[] levels) => Assert.Equal(
        rangeLu, Programme.Stereo([.. levels.Select(level => (level, 20.0))]).RangeLu, 1.0);
}
