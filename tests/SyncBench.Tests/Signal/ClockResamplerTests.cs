using SyncBench.Signal;

namespace SyncBench.Tests.Signal;

public class ClockResamplerTests
{
    private const int RateHz = 48_000;

    /// <summary>
    /// All that a resampler can do wrong to a tone shows in its difference from the exact one: ripple changes its height,
    /// an image or a fold adds another, an error of time turns its phase.
    /// </summary>
    [Theory]
    [InlineData(-100)]
    [InlineData(-3.7)]
    [InlineData(0)]
    [InlineData(45)]
    [InlineData(100)]
    public void ATone_ComesOutAsItIsOnTheOtherClock_WithNothingBeside_AboveMinus100Db(double ppm)
    {
        double step = 1 / (1 + (ppm * 1e-6)), first = 1234.567;
        foreach (double hz in (double[])[40, 440, 1000, 3_999, 7_777, 12_345, 16_000, 19_000, 20_300])
        {
            float[] input = [.. Enumerable.Range(0, RateHz).Select(n => (float)Tone(hz, n))];
            float[] output = Resample(input, first, step, 40_000, 4096);

            double error = Db(output.Select((y, n) => y - Tone(hz, first + (n * step))));
            Assert.True(error < -100, $"{hz} Hz at {ppm} ppm: {error:0.0} dB");
        }

        static double Tone(double hz, double at) => Math.Sin(2 * Math.PI * hz * at / RateHz);
    }

    [Theory]
    [InlineData(44_100)]
    [InlineData(32_000)]
    [InlineData(96_000)]
    public void FromAnotherRate_ATone_ComesOutAsItIs(int rateHz)
    {
        double step = rateHz / (48_000 * (1 + 30e-6));
        foreach (double hz in (double[])[100, 1000, 9_000, 13_000])
        {
            float[] input = [.. Enumerable.Range(0, rateHz).Select(n => (float)Math.Sin(2 * Math.PI * hz * n / rateHz))];
            float[] output = Resample(input, 500.25, step, 40_000, 4096);

            double error = Db(output.Select((y, n) => y - Math.Sin(2 * Math.PI * hz * (500.25 + (n * step)) / rateHz)));
            Assert.True(error < -100, $"{hz} Hz from {rateHz}: {error:0.0} dB");
        }
    }

    /// <summary>From 96 kHz, what 48 kHz cannot hold must be gone and not folded.</summary>
    [Fact]
    public void WhatTheLowerRateCannotHold_IsGone()
    {
        foreach (double hz in (double[])[24_100, 30_000, 44_000])
        {
            float[] input = [.. Enumerable.Range(0, 96_000).Select(n => (float)Math.Sin(2 * Math.PI * hz * n / 96_000))];
            double left = Db(Resample(input, 1000.5, 2, 40_000, 4096).Select(y => (double)y));
            Assert.True(left < -100, $"{hz} Hz: {left:0.0} dB");
        }
    }

    [Theory]
    [InlineData(1)]
    [InlineData(63)]
    [InlineData(10_000)]
    public void HowTheSoundIsCutIntoBlocks_DoesNotChangeOneBit(int block)
    {
        float[] input = Noise(30_000);
        Assert.Equal(
            Resample(input, 200.3, 1.00005, 20_000, 30_000), Resample(input, 200.3, 1.00005, 20_000, block));
    }

    [Fact]
    public void OnWholeSamplesAtTheSameRate_LowSound_IsTheInput()
    {
        float[] input = [.. Enumerable.Range(0, 5000).Select(n => MathF.Sin(n * 0.1f))];
        float[] output = Resample(input, 1000, 1, 2000, 512);
        Assert.All(output, (y, n) => Assert.Equal(input[1000 + n], y, 1e-5f));
    }

    /// <summary>Sound of 1 throughout: what is asked for before and behind it is silence.</summary>
    [Fact]
    public void BeforeAndBehindTheSound_IsSilence()
    {
        float[] ones = [.. Enumerable.Repeat(1f, 2000)];
        float[] output = Resample(ones, -1000.25, 1, 4000, 333);

        Assert.Equal(4000, output.Length);
        Assert.All(output[..900], y => Assert.Equal(0, y));
        Assert.All(output[1100..2900], y => Assert.Equal(1, y, 1e-5f));
        Assert.All(output[3100..], y => Assert.Equal(0, y));
    }

    /// <summary>Blocks that lie wholly before the stretch may be fed or left out.</summary>
    [Fact]
    public void WhatLiesBeforeTheStretch_NeedNotBeFed()
    {
        float[] input = Noise(30_000);
        var output = new List<float>();
        var resampler = new ClockResampler(20_000.5, 1, 1000);
        Assert.InRange(resampler.FirstNeeded, 19_000, 20_000);

        resampler.Feed(input.AsSpan(19_000), 19_000, some => output.AddRange(some));

        Assert.True(resampler.IsDone);
        Assert.Equal(Resample(input, 20_000.5, 1, 1000, 4096), output);
    }

    private static float[] Resample(float[] input, double first, double step, int count, int block)
    {
        var output = new List<float>();
        var resampler = new ClockResampler(first, step, count);
        for (int at = 0; at < input.Length; at += block)
        {
            resampler.Feed(input.AsSpan(at, Math.Min(block, input.Length - at)), at, some => output.AddRange(some));
        }

        resampler.Finish(some => output.AddRange(some));
        return [.. output];
    }

    private static float[] Noise(int count)
    {
        var random = new Random(3);
        return [.. Enumerable.Range(0, count).Select(_ => (float)(random.NextDouble() - 0.5))];
    }

    /// <summary>Power relative to a full-scale tone.</summary>
    private static double Db(IEnumerable<double> samples) => 10 * Math.Log10(samples.Average(x => x * x) / 0.5);
}
