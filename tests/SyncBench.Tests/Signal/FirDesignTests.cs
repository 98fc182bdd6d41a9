using System.Numerics;
using SyncBench.Signal;

namespace SyncBench.Tests.Signal;

public class FirDesignTests
{
    /// <summary>Oracle: fixtures/signal/low_pass.json, scipy.signal.kaiserord and firwin.</summary>
    [Fact]
    public void LowPass_AgreesWithSciPy()
    {
        SciPyFixture scipy = SciPyFixture.Open("low_pass.json");
        double[] expected = scipy.Numbers("taps");

        float[] taps = FirDesign.LowPass(
            scipy.Number("rate_hz"), scipy.Number("pass_hz"), scipy.Number("stop_hz"), scipy.Number("attenuation_db"));

        Assert.Equal(scipy.Number("beta"), FirDesign.KaiserBeta(scipy.Number("attenuation_db")), 1e-12);
        Assert.Equal(expected.Length, taps.Length);
        for (int i = 0; i < taps.Length; i++)
        {
            Assert.Equal(expected[i], taps[i], 1e-7);
        }
    }

    [Theory]
    [InlineData(48_000, 7_400, 8_600, 96)]
    [InlineData(48_000, 200, 600, 60)]
    [InlineData(16_000, 100, 1_000, 40)]
    public void LowPass_KeepsItsPromise(double rateHz, double passHz, double stopHz, double attenuationDb)
    {
        float[] taps = FirDesign.LowPass(rateHz, passHz, stopHz, attenuationDb);
        double ripple = Math.Pow(10, (1.5 - attenuationDb) / 20); // Kaiser's formula is an empirical fit
        for (double hz = 0; hz <= rateHz / 2; hz += rateHz / 20_000)
        {
            double gain = Gain(taps, hz / rateHz);
            if (hz <= passHz)
            {
                Assert.InRange(gain, 1 - (2 * ripple), 1 + (2 * ripple)); // gain is exactly 1 at 0 Hz, so it can err one way
            }
            else if (hz >= stopHz)
            {
                Assert.InRange(gain, 0, ripple);
            }
        }
    }

    [Fact]
    public void LowPass_HasAWholeDelay()
    {
        float[] taps = FirDesign.LowPass(48_000, 7_000, 9_000, 80);
        Assert.Equal(1, taps.Length % 2);
        Assert.Equal(taps, taps.Reverse());
    }

    [Theory]
    [InlineData(0, 100)]
    [InlineData(200, 100)]
    [InlineData(100, 24_001)]
    public void LowPass_RefusesEdgesOutOfOrder(double passHz, double stopHz) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => FirDesign.LowPass(48_000, passHz, stopHz, 60));

    private static double Gain(float[] taps, double cyclesPerSample)
    {
        Complex sum = Complex.Zero;
        for (int i = 0; i < taps.Length; i++)
        {
            sum += taps[i] * Complex.FromPolarCoordinates(1, -2 * Math.PI * cyclesPerSample * i);
        }

        return Complex.Abs(sum);
    }
}
