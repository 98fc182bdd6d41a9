using SyncBench.Media;
using SyncBench.Selection;

namespace SyncBench.Tests.Selection;

public class MicMeterTests
{
    private const int Rate = 48_000;

    [Fact]
    public void Peaks_AreTheHighestSampleOfEachStep()
    {
        var samples = new float[Rate];
        samples[(480 * 7) + 3] = -0.5f;
        samples[(480 * 8) - 1] = 0.25f;
        samples[480 * 8] = 1f;
        MicMeasure measure = Measure(samples);
        Assert.Equal(100, measure.Steps);
        Assert.Equal(-6.02, measure.PeakDb(7), 0.26);
        Assert.Equal(0, measure.PeakDb(8), 0.26);
        Assert.Equal(-120, measure.PeakDb(9));
    }

    /// <summary>44.1 kHz: 441 samples a step; 22.05 kHz: 220.5, so a step begins at the next whole sample.</summary>
    [Theory]
    [InlineData(44_100, 50, 441 * 50)]
    [InlineData(22_050, 51, 11_246)]
    public void Steps_KeepTimeAtEverySampleRate(int sampleRate, int step, int firstSample)
    {
        var samples = new float[sampleRate];
        samples[firstSample] = 0.5f;
        Assert.Equal(-6.02, Measure(samples, sampleRate).PeakDb(step), 0.26);
        Assert.Equal(-120, Measure(samples, sampleRate).PeakDb(step - 1));
    }

    [Theory]
    [InlineData(1f)]
    [InlineData(0.6f)] // an analogue stage before the converter clips below full scale
    public void TopsCutAtOneLevel_AreClipping(float level)
    {
        float[] loud = Sum(Sine(220, 0.9f * level), Sine(570, 0.5f * level), Sine(90, 0.4f * level));
        float[] cut = [.. loud.Select(x => Math.Clamp(x, -level, level))];
        MicMeasure measure = Measure(cut);
        int found = Enumerable.Range(0, measure.Steps).Count(step => measure.ClippedSamples(step) > 0);
        int truth = Enumerable.Range(0, 100).Count(step =>
            loud[(step * 480)..((step + 1) * 480)].Count(x => MathF.Abs(x) > level) > 4);
        Assert.InRange(found, truth * 0.9, truth * 1.2);
    }

    [Theory]
    [InlineData(20)]
    [InlineData(50)]
    [InlineData(100)]
    [InlineData(1000)]
    public void RoundTops_AreNoClipping(double frequencyHz)
    {
        foreach (float amplitude in (float[])[0.1f, 0.5f, 0.99f])
        {
            float[] tone = [.. Sum(Sine(frequencyHz, amplitude), Noise(0.001f)).Select(x => MathF.Round(x * 32768) / 32768)];
            MicMeasure measure = Measure(tone);
            Assert.Equal(0, Enumerable.Range(0, measure.Steps).Sum(measure.ClippedSamples));
        }
    }

    [Theory]
    [InlineData(2.5, true)]
    [InlineData(30, true)]
    [InlineData(1, false)]
    public void ASignalThatStandsStill_IsMissing(double milliseconds, bool missing)
    {
        float[] samples = Noise(0.01f);
        int length = (int)(milliseconds * 48);
        Array.Fill(samples, 0, (480 * 20) + 100, length);
        MicMeasure measure = Measure(samples);
        double found = Enumerable.Range(0, measure.Steps).Sum(step => (double)measure.MissingShare(step)) * 10;
        Assert.Equal(missing ? milliseconds : 0, found, 0.3);
    }

    [Fact]
    public void AHeldValue_IsMissingToo()
    {
        float[] samples = Noise(0.01f);
        Array.Fill(samples, 0.013f, 10_000, 960);
        MicMeasure measure = Measure(samples);
        Assert.Equal(20, Enumerable.Range(0, measure.Steps).Sum(step => measure.MissingShare(step)) * 10, 0.5);
    }

    [Fact]
    public void BlockSizes_DoNotMatter()
    {
        float[] samples = [.. Sum(Sine(220, 0.9f), Noise(0.1f)).Select(x => Math.Clamp(x, -0.8f, 0.8f))];
        Array.Clear(samples, 20_011, 997);
        MicMeasure whole = Measure(samples, block: samples.Length), pieces = Measure(samples, block: 37);
        for (int step = 0; step < whole.Steps; step++)
        {
            Assert.Equal(whole.PeakDb(step), pieces.PeakDb(step));
            Assert.Equal(whole.ClippedSamples(step), pieces.ClippedSamples(step));
            Assert.Equal(whole.MissingShare(step), pieces.MissingShare(step));
        }
    }

    private static MicMeasure Measure(float[] samples, int sampleRate = Rate, int block = 4000)
    {
        var meter = new MicMeter(channels: 1);
        for (int start = 0; start < samples.Length; start += block)
        {
            float[] piece = samples[start..Math.Min(samples.Length, start + block)];
            meter.Hear(new SoundBlock(sampleRate, [piece], piece.Length, [[]], 0));
        }

        meter.Finish();
        return meter.Of(0);
    }

    private static float[] Sine(double frequencyHz, float amplitude) =>
        [.. Enumerable.Range(0, Rate).Select(n => amplitude * (float)Math.Sin(2 * Math.PI * frequencyHz * n / Rate))];

    private static float[] Noise(float amplitude)
    {
        var random = new Random(5);
        return [.. Enumerable.Range(0, Rate).Select(_ => amplitude * ((random.NextSingle() * 2) - 1))];
    }

    private static float[] Sum(params float[][] parts) => TestSound.Sum(parts);
}
