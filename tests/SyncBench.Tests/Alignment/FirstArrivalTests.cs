using SyncBench.Alignment;

namespace SyncBench.Tests.Alignment;

public class FirstArrivalTests
{
    /// <summary>The far mic is the query's: what it hears late lies at smaller lags, so the direct path is the larger one.</summary>
    [Fact]
    public void AReflectionHigherThanTheDirectPath_IsNotTaken()
    {
        float[] mean = Row((300, 1.0f), (367, 0.8f));

        Assert.Equal(367, FirstArrival.Locate(mean, null, Reflections.AtSmallerLags)!.Value, 0.05);
    }

    [Fact]
    public void WithTheFarMicAsReference_TheSmallerLagIsTheDirectPath()
    {
        float[] mean = Row((300, 0.8f), (367, 1.0f));

        Assert.Equal(300, FirstArrival.Locate(mean, null, Reflections.AtLargerLags)!.Value, 0.05);
    }

    [Fact]
    public void AWeakEarlierPeak_IsNotTheDirectPath()
    {
        float[] mean = Row((300, 1.0f), (367, 0.4f));

        Assert.Equal(300, FirstArrival.Locate(mean, null, Reflections.AtSmallerLags)!.Value, 0.05);
    }

    /// <summary>4 m away in a room that rings for 0.8 s: scripts/bench accuracy --only far has such rows.</summary>
    [Fact]
    public void FarFromTheTalker_TheDirectPathIsHalfAsHigh_AndTwelveMillisecondsEarlier()
    {
        float[] mean = Row((100, 1.0f), (128, 0.6f), (304, 0.55f)), pauses = Row();

        Assert.Equal(304, FirstArrival.Locate(mean, pauses, Reflections.AtSmallerLags)!.Value, 0.05);
    }

    [Fact]
    public void AnEarlierPeakThatIsHigherWhileAnotherTalks_IsHisPath()
    {
        float[] mean = Row((300, 1.0f), (330, 0.7f), (420, 0.7f)), others = Row((300, 0.3f), (330, 0.2f), (420, 0.9f));

        Assert.Equal(330, FirstArrival.Locate(mean, others, Reflections.AtSmallerLags)!.Value, 0.05);
    }

    /// <summary>Where the two talk across each other no window is the other's alone, but his path keeps its height while the subject's sinks.</summary>
    [Fact]
    public void AnEarlierPeakThatDoesNotSinkWithTheSubjects_IsAnothersPath()
    {
        float[] mean = Row((300, 1.0f), (420, 0.7f)), others = Row((300, 0.5f), (420, 0.65f));

        Assert.Equal(300, FirstArrival.Locate(mean, others, Reflections.AtSmallerLags)!.Value, 0.05);
    }

    [Fact]
    public void OfTwoMicsAsFar_TheHighestPeakIsTaken()
    {
        float[] mean = Row((300, 1.0f), (367, 0.9f));

        Assert.Equal(300, FirstArrival.Locate(mean, null, Reflections.OnBothSides)!.Value, 0.05);
    }

    [Fact]
    public void OfNoiseAlone_ThereIsNone() => Assert.Null(FirstArrival.Locate(Row(), null, Reflections.AtSmallerLags));

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
