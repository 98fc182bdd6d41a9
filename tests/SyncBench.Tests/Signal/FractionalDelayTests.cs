using SyncBench.Signal;

namespace SyncBench.Tests.Signal;

public class FractionalDelayTests
{
    [Theory]
    [InlineData(0.25)]
    [InlineData(-7.5)]
    [InlineData(12.9)]
    public void ASine_IsMovedByPartsOfASample(double advance)
    {
        const double Step = 2 * Math.PI * 0.2;
        float[] sine = [.. Enumerable.Range(0, 400).Select(n => (float)Math.Sin(Step * n))];

        float[] moved = FractionalDelay.Advance(sine, advance);

        for (int n = 50; n < 350; n++)
        {
            Assert.Equal(Math.Sin(Step * (n + advance)), moved[n], 0.002);
        }
    }

    [Fact]
    public void ByWholeSamples_ValuesAreKept_AndZerosFollow()
    {
        float[] moved = FractionalDelay.Advance([1, 2, 3, 4], 2);

        Assert.Equal([3, 4, 0, 0], moved.Select(x => Math.Round(x, 5)));
    }

    [Fact]
    public void NearTheTopOfTheBand_TheErrorStaysBelowOnePercent()
    {
        const double Step = 2 * Math.PI * 0.45;
        float[] sine = [.. Enumerable.Range(0, 400).Select(n => (float)Math.Sin(Step * n))];

        float[] moved = FractionalDelay.Advance(sine, 0.5);

        for (int n = 50; n < 350; n++)
        {
            Assert.Equal(Math.Sin(Step * (n + 0.5)), moved[n], 0.01);
        }
    }
}
