using SyncBench.Signal;
using SyncBench.Signal.Loudness;

namespace SyncBench.Tests.Standards.Loudness;

/// <summary>
/// ITU-R BS.1770, Algorithms to measure audio programme loudness and true-peak audio level. Tables and values from memory.
/// </summary>
public class Bs1770Tests
{
    [Fact]
    public void At48kHz_TheCoefficientsAreThoseOfTheRecommendation()
    {
        (KWeighting.Section shelf, KWeighting.Section high) = KWeighting.At(48_000);

        // Annex 1, tables 1 and 2.
        Assert.Equal(1.53512485958697, shelf.B0, 1e-12);
        Assert.Equal(-2.69169618940638, shelf.B1, 1e-12);
        Assert.Equal(1.19839281085285, shelf.B2, 1e-12);
        Assert.Equal(-1.69065929318241, shelf.A1, 1e-12);
        Assert.Equal(0.73248077421585, shelf.A2, 1e-12);
        Assert.Equal((1, -2, 1), (high.B0, high.B1, high.B2));
        Assert.Equal(-1.99004745483398, high.A1, 1e-12);
        Assert.Equal(0.99007225036621, high.A2, 1e-12);
    }

    [Theory]
    [InlineData(16_000)]
    [InlineData(22_050)]
    [InlineData(44_100)]
    [InlineData(96_000)]
    [InlineData(192_000)]
    public void AtAnyRate_ATone_IsAsLoudAsAt48kHz(int rateHz)
    {
        foreach (double hz in (double[])[40, 100, 997, 3000])
        {
            double difference = Lufs(rateHz, hz) - Lufs(48_000, hz);

            // The transform bends the shelf near half the rate, the least at 16 kHz and 3 kHz.
            Assert.InRange(difference, -0.1, rateHz == 16_000 ? 0.25 : 0.1);
        }
    }

    /// <summary>The recommendation: 0 dB relative to full scale at 997 Hz in one front channel reads −3.01 LKFS.</summary>
    [Fact]
    public void AFullScaleToneInOneChannel_ReadsMinus3() => Assert.Equal(-3.01, Lufs(48_000, 997), 0.01);

    [Theory]
    [InlineData(1)]
    [InlineData(7)]
    [InlineData(961)]
    [InlineData(16_384)]
    public void HowTheSoundIsCutIntoBlocks_ChangesNothing(int blockSamples)
    {
        float[] sound = Programme.Tone((-20, 0.33), (-30, 0.4));
        LoudnessTrack whole = Programme.Track(sound);
        var meter = new LoudnessMeter(Programme.RateHz);
        for (int at = 0; at < sound.Length; at += blockSamples)
        {
            meter.Add(sound.AsSpan(at, Math.Min(blockSamples, sound.Length - at)));
        }

        LoudnessTrack cut = meter.Finish();
        Assert.All(cut.Powers.ToArray(), (power, step) => Assert.Equal(1, power / whole.Powers[step], 1e-6));
        Assert.Equal(whole.Peaks.ToArray(), cut.Peaks.ToArray());
    }

    /// <summary>The filter in blocks of eight against the same filter sample by sample, in noise that fills the spectrum.</summary>
    [Fact]
    public void InBlocks_TheFilterIsTheSame()
    {
        var random = new Random(7);
        float[] noise = [.. Enumerable.Range(0, 48_000).Select(_ => (float)(random.NextDouble() - 0.5))];
        (KWeighting.Section shelf, KWeighting.Section high) = KWeighting.At(48_000);
        var first = new Biquad(shelf.B0, shelf.B1, shelf.B2, shelf.A1, shelf.A2);
        var second = new Biquad(high.B0, high.B1, high.B2, high.A1, high.A2);
        var filtered = new float[noise.Length];
        first.Process(noise, filtered);
        second.Process(filtered, filtered);
        double expected = filtered.Sum(x => (double)x * x);

        var power = new KWeightedPower(48_000);
        power.Add(noise);

        Assert.Equal(1, power.Take() / expected, 1e-6);
    }

    [Fact]
    public void AfterSound_SilenceIsMinusInfinity()
    {
        LoudnessFigures silence = LoudnessFigures.Of(new float[500], 0);

        Assert.Equal(double.NegativeInfinity, silence.IntegratedLufs);
        Assert.Equal(double.NegativeInfinity, silence.TruePeakDb);
        Assert.Null(silence.GainDb);
    }

    private static double Lufs(int rateHz, double hz)
    {
        float[] tone = [.. Enumerable.Range(0, 4 * rateHz).Select(n => (float)Math.Sin(2 * Math.PI * hz * n / rateHz))];
        return LoudnessFigures.Of(Programme.Track(tone, rateHz).Powers[100..], 1).IntegratedLufs;
    }
}
