using System.Numerics;
using MathNet.Numerics.IntegralTransforms;
using SyncBench.Alignment;
using SyncBench.Media;

namespace SyncBench.Tests.Alignment;

public class BandLevelMeterTests
{
    [Fact]
    public void AFullScaleSine_ReadsZeroInItsBand()
    {
        for (int band = 0; band < BandLevels.Bands; band++)
        {
            BandLevels levels = Measure(Sine(BandLevels.CentreHz[band], 1, seconds: 1));
            for (int step = 5; step < 95; step++)
            {
                Assert.Equal(0, BandLevels.ToDb(levels.Step(step)[band]), 0.6);
            }
        }
    }

    [Theory]
    [InlineData(0.1f, -20)]
    [InlineData(0.001f, -60)]
    public void ASineAtALowerLevel_ReadsThatLevel(float amplitude, double expectedDb) =>
        Assert.Equal(expectedDb, BandLevels.ToDb(Measure(Sine(1000, amplitude, seconds: 1)).Step(50)[11]), 0.3);

    [Fact]
    public void DigitalSilence_ReadsTheLowestLevel() =>
        Assert.All(Measure(new float[16_000]).Step(50).ToArray(), level => Assert.Equal(0, level));

    /// <summary>
    /// External check: MathNet.Numerics 5.0.0 (Fourier.Forward) on the windowed samples, band edges by IEC 61260-1
    /// (base ten; formula from memory).
    /// </summary>
    [Fact]
    public void OfNoise_AgreesWithTheSumOfBinsOfAReferenceTransform()
    {
        float[] noise = Noise(16_000, seed: 11);
        BandLevels levels = Measure(noise);

        for (int step = 3; step < 97; step += 7)
        {
            Complex[] spectrum = ReferenceSpectrum(noise, middle: (160 * step) + 80);
            for (int band = 10; band < BandLevels.Bands; band++)
            {
                double exact = 1000 * Math.Pow(10, (band - 11) / 10.0);
                double sum = 0;
                for (int bin = 1; bin < 256; bin++)
                {
                    double low = Math.Max((bin - 0.5) * 31.25, exact * Math.Pow(10, -0.05));
                    double high = Math.Min((bin + 0.5) * 31.25, exact * Math.Pow(10, 0.05));
                    sum += Math.Max(0, high - low) / 31.25 * Math.Pow(spectrum[bin].Magnitude, 2);
                }

                // A sine's power in the sum over bins is N/4·Σw² = 512/4 · 3/8·512 (Parseval's theorem).
                double expected = 10 * Math.Log10(sum / (512 / 4.0 * 192));
                Assert.Equal(expected, BandLevels.ToDb(levels.Step(step)[band]), 0.6);
            }
        }
    }

    [Fact]
    public void AnImpulse_IsLoudestInTheStepThatHoldsIt()
    {
        var samples = new float[16_000];
        samples[(160 * 30) + 80] = 1;
        BandLevels levels = Measure(samples);
        int[] sums = [.. Enumerable.Range(0, levels.Steps).Select(step => levels.Step(step).ToArray().Sum(x => (int)x))];
        Assert.Equal(30, Array.IndexOf(sums, sums.Max()));
    }

    [Theory]
    [InlineData(1, 1)]
    [InlineData(160, 1)]
    [InlineData(161, 2)]
    [InlineData(16_000, 100)]
    public void EveryStepThatHasBegun_IsMeasured(int samples, int steps) =>
        Assert.Equal(steps, Measure(Noise(samples, seed: 1)).Steps);

    [Fact]
    public void BlockSizes_DoNotMatter()
    {
        float[] noise = Noise(50_000, seed: 2);
        BandLevels whole = Measure(noise, blockLength: 50_000);
        BandLevels pieces = Measure(noise, blockLength: 777);
        Assert.Equal(whole.Steps, pieces.Steps);
        for (int step = 0; step < whole.Steps; step++)
        {
            Assert.True(whole.Step(step).SequenceEqual(pieces.Step(step)));
        }
    }

    private static BandLevels Measure(float[] samples, int blockLength = 4096)
    {
        var meter = new BandLevelMeter(channels: 1);
        for (int start = 0; start < samples.Length; start += blockLength)
        {
            float[] piece = samples[start..Math.Min(samples.Length, start + blockLength)];
            meter.Hear(new SoundBlock(16_000, [piece], piece.Length, [piece], piece.Length));
        }

        meter.Finish();
        return meter.Of(0);
    }

    private static Complex[] ReferenceSpectrum(float[] samples, int middle)
    {
        var windowed = new Complex[512];
        for (int n = 0; n < 512; n++)
        {
            int at = middle - 256 + n;
            double taper = 0.5 - (0.5 * Math.Cos(2 * Math.PI * n / 512));
            windowed[n] = at >= 0 && at < samples.Length ? samples[at] * taper : 0;
        }

        Fourier.Forward(windowed, FourierOptions.NoScaling);
        return windowed;
    }

    private static float[] Sine(double frequencyHz, float amplitude, int seconds) =>
        [.. Enumerable.Range(0, seconds * 16_000)
            .Select(n => amplitude * (float)Math.Sin(2 * Math.PI * frequencyHz * n / 16_000))];

    private static float[] Noise(int count, int seed)
    {
        var random = new Random(seed);
        return [.. Enumerable.Range(0, count).Select(_ => (float)(random.NextDouble() - 0.5))];
    }
}
