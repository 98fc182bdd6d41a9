using SyncBench.Alignment;

namespace SyncBench.Tests.Alignment;

public class FirstArrivalTests
{
    /// <summary>The far mic is the query's: what it hears late lies at smaller lags, so the direct path is the larger one.</summary>
    [Fact]
    public void AReflectionHigherThanTheDirectPath_IsNotTaken()
    {
        float[] mean = Row((300, 1.0f), (367, 0.8f));

        Assert.Equal(367, FirstArrival.Locate(mean, Reflections.AtSmallerLags)!.Value, 0.05);
    }

    [Fact]
    public void WithTheFarMicAsReference_TheSmallerLagIsTheDirectPath()
    {
        float[] mean = Row((300, 0.8f), (367, 1.0f));

        Assert.Equal(300, FirstArrival.Locate(mean, Reflections.AtLargerLags)!.Value, 0.05);
    }

    [Fact]
    public void AWeakEarlierPeak_IsNotTheDirectPath()
    {
        float[] mean = Row((300, 1.0f), (367, 0.4f));

        Assert.Equal(300, FirstArrival.Locate(mean, Reflections.AtSmallerLags)!.Value, 0.05);
    }

    [Fact]
    public void OfTwoMicsAsFar_TheHighestPeakIsTaken()
    {
        float[] mean = Row((300, 1.0f), (367, 0.9f));

        Assert.Equal(300, FirstArrival.Locate(mean, Reflections.OnBothSides)!.Value, 0.05);
    }

    [Fact]
    public void OfNoiseAlone_ThereIsNone() => Assert.Null(FirstArrival.Locate(Row(), Reflections.AtSmallerLags));

    private static float[] Row(params (int At, float Height)[] peaks)
    {
        var random = new Random(5);
        float[] row = [.. Enumerable.Range(0, 641).Select(_ => (float)(0.02 * (random.NextDouble() - 0.5)))];
        foreach ((int at, float height) in peaks)
        {
            for (int n = 0; n < row.Length; n++)
            {
                double x = 0.9 * (n - at);
                row[n] += (float)(height * (x == 0 ? 1 : Math.Sin(Math.PI * x) / (Math.PI * x)) * Math.Exp(-x * x / 200));
            }
        }

        return row;
    }
}
