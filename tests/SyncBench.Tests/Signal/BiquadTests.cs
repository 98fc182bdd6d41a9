using SyncBench.Signal;

namespace SyncBench.Tests.Signal;

public class BiquadTests
{
    /// <summary>Oracle: fixtures/signal/biquads.json, scipy.signal.bilinear and sosfilt.</summary>
    [Theory]
    [InlineData("high_pass")]
    [InlineData("low_pass")]
    public void AgreesWithSciPy(string kind)
    {
        SciPyFixture scipy = SciPyFixture.Open("biquads.json");
        double rate = scipy.Number("rate_hz"), hz = scipy.Part(kind).Number("hz"), q = scipy.Number("q");
        double[] expected = scipy.Part(kind).Numbers("output");
        float[] samples = TonesOfMakePy((int)scipy.Number("input_count"), rate);

        Biquad biquad = kind is "high_pass" ? Biquad.HighPass(rate, hz, q) : Biquad.LowPass(rate, hz, q);
        biquad.Process(samples, samples);

        Assert.Equal(expected.Length, samples.Length);
        for (int n = 0; n < samples.Length; n++)
        {
            Assert.Equal(expected[n], samples[n], 2e-7);
        }
    }

    [Fact]
    public void InBlocks_IsTheSameBitForBit()
    {
        float[] input = TonesOfMakePy(1000, 48_000), whole = new float[1000], pieces = new float[1000];
        Biquad.HighPass(48_000, 80, 0.7).Process(input, whole);

        Biquad biquad = Biquad.HighPass(48_000, 80, 0.7);
        biquad.Process(input.AsSpan(0, 1), pieces);
        biquad.Process([], pieces);
        biquad.Process(input.AsSpan(1, 333), pieces.AsSpan(1));
        biquad.Process(input.AsSpan(334), pieces.AsSpan(334));

        Assert.Equal(whole, pieces);
    }

    [Fact]
    public void HighPass_OfAConstant_DiesAway()
    {
        float[] samples = [.. Enumerable.Repeat(1f, 48_000)];
        Biquad.HighPass(48_000, 80, Math.Sqrt(0.5)).Process(samples, samples);
        Assert.Equal(0, samples[^1], 1e-9f);
    }

    [Fact]
    public void LowPass_OfAConstant_IsTheConstant()
    {
        float[] samples = [.. Enumerable.Repeat(1f, 48_000)];
        Biquad.LowPass(48_000, 80, Math.Sqrt(0.5)).Process(samples, samples);
        Assert.Equal(1, samples[^1], 1e-6f);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(24_000)]
    public void RefusesACornerOutsideTheBand(double cornerHz) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Biquad.HighPass(48_000, cornerHz, 0.7));

    /// <summary>tone_mix of fixtures/signal/make.py.</summary>
    private static float[] TonesOfMakePy(int count, double rate) =>
    [
        .. Enumerable.Range(0, count).Select(n =>
        {
            double turn = 2 * Math.PI * n / rate;
            return (float)((0.5 * Math.Sin(60 * turn)) + (0.3 * Math.Sin(997 * turn)) + (0.1 * Math.Cos(5000 * turn)));
        }),
    ];
}
