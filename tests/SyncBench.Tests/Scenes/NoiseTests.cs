using SyncBench.Scenes;

namespace SyncBench.Tests.Scenes;

public class NoiseTests
{
    private const int Count = 1 << 18; // 5.5 s

    [Fact]
    public void Pink_FallsThreeDecibelsAnOctaveOfDensity_SoEveryOctaveIsAsStrong()
    {
        float[] pink = Noise.Pink(Count, new SeededRandom(1));
        double first = Power(pink, 100, 200);
        foreach (double low in new[] { 200.0, 400, 1600, 6400 })
        {
            Assert.Equal(0, 10 * Math.Log10(Power(pink, low, 2 * low) / first), 0.8);
        }
    }

    [Fact]
    public void Wind_IsBelow150Hz()
    {
        float[] wind = Noise.Wind(Count, new SeededRandom(2));
        Assert.InRange(Power(wind, 10, 150) / Power(wind, 10, 20_000), 0.95, 1);
        Assert.True(Power(wind, 20, 40) > Power(wind, 80, 160), "an octave lower is stronger");
    }

    [Fact]
    public void Rustle_ScrapesBetween1And8KHz_AndBumpsBelow100Hz()
    {
        float[] rustle = Noise.Rustle(Count, new SeededRandom(3));
        double all = Power(rustle, 10, 20_000);
        double scrapes = Power(rustle, 1000, 8000);
        double bumps = Power(rustle, 10, 120);
        Assert.InRange((scrapes + bumps) / all, 0.97, 1.01);
        Assert.True(scrapes > 0.1 * all && bumps > 0.1 * all);
    }

    [Fact]
    public void Rumble_IsBetween30And120Hz()
    {
        float[] rumble = Noise.Rumble(Count, new SeededRandom(4));
        Assert.InRange(Power(rumble, 28, 125) / Power(rumble, 5, 20_000), 0.98, 1);
    }

    [Fact]
    public void TheSameSeed_IsTheSameNoise_AndAnotherIsNot()
    {
        float[] one = Noise.Pink(4800, new SeededRandom(5, "left"));
        Assert.Equal(one, Noise.Pink(4800, new SeededRandom(5, "left")));
        Assert.NotEqual(one, Noise.Pink(4800, new SeededRandom(5, "right")));
    }

    [Fact]
    public void Gaussian_HasMeanNoughtAndVarianceOne()
    {
        var random = new SeededRandom(6);
        double sum = 0, squares = 0;
        for (int i = 0; i < 1_000_000; i++)
        {
            double x = random.NextGaussian();
            (sum, squares) = (sum + x, squares + (x * x));
        }

        Assert.Equal(0, sum / 1e6, 0.005);
        Assert.Equal(1, squares / 1e6, 0.005);
    }

    /// <summary>By the definition of the transform through MathNet, so that no filter of the scenes measures itself.</summary>
    private static double Power(float[] sound, double lowHz, double highHz)
    {
        var padded = new double[sound.Length + 2]; // MathNet keeps the spectrum where the samples were
        for (int i = 0; i < sound.Length; i++)
        {
            padded[i] = sound[i];
        }

        MathNet.Numerics.IntegralTransforms.Fourier.ForwardReal(
            padded, sound.Length, MathNet.Numerics.IntegralTransforms.FourierOptions.NoScaling);
        double sum = 0;
        for (int bin = (int)(lowHz * sound.Length / 48_000); bin < highHz * sound.Length / 48_000; bin++)
        {
            sum += (padded[2 * bin] * padded[2 * bin]) + (padded[(2 * bin) + 1] * padded[(2 * bin) + 1]);
        }

        return sum;
    }
}
