using SyncBench.Timeline.Dialogue;

namespace SyncBench.Tests.Timeline.Dialogue;

public class CrossfadeTests
{
    [Theory]
    [InlineData(0.0)]
    [InlineData(0.3)]
    [InlineData(1.0)]
    public void ThePower_StaysEven_WhateverTheCorrelation(double correlation)
    {
        for (double share = 0; share <= 1; share += 0.05)
        {
            (double a, double b) = Crossfade.Gains(share, correlation);
            Assert.Equal(1, (a * a) + (b * b) + (2 * correlation * a * b), 1e-12);
        }
    }

    [Fact]
    public void BetweenTheSameSound_GainsAddUpToOne_AndTheSoundIsUnchanged()
    {
        float[] sound = Noise(1);
        Assert.Equal(1, Crossfade.Correlation(sound, sound), 1e-9);
        Assert.All(Crossfade.Mix(sound, sound, 1), (x, n) => Assert.Equal(sound[n], x, 1e-6f));
    }

    [Fact]
    public void BetweenStrangers_TheMiddleIsAsLoudAsTheEnds()
    {
        float[] left = Noise(1), right = Noise(2);
        double correlation = Crossfade.Correlation(left, right);
        float[] mixed = Crossfade.Mix(left, right, correlation);

        Assert.InRange(correlation, -0.1, 0.1);
        double middle = Power(mixed[(mixed.Length / 3)..(2 * mixed.Length / 3)]);
        Assert.Equal(0, 10 * Math.Log10(middle / Power(left)), 0.3);
    }

    [Fact]
    public void BesideSilence_NothingIsCorrelated() => Assert.Equal(0, Crossfade.Correlation(Noise(1), new float[19_200]));

    private static float[] Noise(int seed)
    {
        var random = new Random(seed);
        return [.. Enumerable.Range(0, 19_200).Select(_ => (float)(random.NextDouble() - 0.5))];
    }

    private static double Power(float[] sound) => sound.Average(x => (double)x * x);
}
