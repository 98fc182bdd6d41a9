using System.Numerics;
using MathNet.Numerics.IntegralTransforms;
using SyncBench.Signal;

namespace SyncBench.Tests.Signal;

public class RealFftTests
{
    private const int LargestChecked = 1 << 16;

    /// <summary>Every size up to 65,536 samples, by every register width of this processor.</summary>
    public static TheoryData<int, int> SizesAndLanes()
    {
        var rows = new TheoryData<int, int>();
        foreach (int lanes in (int[])[1, 4, 8, 16])
        {
            for (int size = RealFft.SmallestSize; size <= LargestChecked && lanes <= RealFft.WidestLanes; size *= 2)
            {
                rows.Add(size, lanes);
            }
        }

        return rows;
    }

    public static TheoryData<int> LargeSizes() => [1 << 18, 1 << 20, RealFft.LargestSize];

    /// <summary>
    /// Oracle: the definition, summed in double precision. Its cost is N²: of longer transforms bins are sampled.
    /// </summary>
    [Theory]
    [MemberData(nameof(SizesAndLanes))]
    public void Forward_AgreesWithTheDefinition(int size, int lanes)
    {
        float[] samples = Noise(size, seed: size);
        Complex[] roots =
        [
            .. Enumerable.Range(0, size).Select(n => Complex.FromPolarCoordinates(1, -2 * Math.PI * n / size)),
        ];
        (float[] re, float[] im) = Forward(RealFft.Create(size, lanes), samples);

        int step = Math.Max(1, (size / 2 / 64) - 1);
        double error = 0, energy = 0;
        for (int k = 0; k <= size / 2; k += step)
        {
            Complex sum = Complex.Zero;
            for (int n = 0; n < size; n++)
            {
                sum += samples[n] * roots[(long)k * n % size];
            }

            error += Math.Pow(Complex.Abs(new Complex(re[k], im[k]) - sum), 2);
            energy += Math.Pow(Complex.Abs(sum), 2);
        }

        Assert.InRange(Math.Sqrt(error / energy), 0, RoundingAllowance(size));
    }

    /// <summary>Oracle: MathNet.Numerics 5.0.0, Fourier.Forward of complex doubles, every bin.</summary>
    [Theory]
    [MemberData(nameof(SizesAndLanes))]
    public void Forward_AgreesWithMathNet(int size, int lanes) =>
        Assert.InRange(
            ErrorAgainstMathNet(RealFft.Create(size, lanes), Noise(size, seed: 1)), 0, RoundingAllowance(size));

    [Theory]
    [MemberData(nameof(LargeSizes))]
    public void Forward_OfLargeSizes_AgreesWithMathNet(int size) =>
        Assert.InRange(ErrorAgainstMathNet(RealFft.OfSize(size), Noise(size, seed: 1)), 0, RoundingAllowance(size));

    [Theory]
    [MemberData(nameof(SizesAndLanes))]
    public void Inverse_UndoesForward(int size, int lanes) => AssertInverseUndoesForward(RealFft.Create(size, lanes));

    [Theory]
    [MemberData(nameof(LargeSizes))]
    public void Inverse_OfLargeSizes_UndoesForward(int size) => AssertInverseUndoesForward(RealFft.OfSize(size));

    [Theory]
    [MemberData(nameof(SizesAndLanes))]
    public void Forward_KeepsEnergy_AsParsevalSays(int size, int lanes)
    {
        float[] samples = Noise(size, seed: 3);
        (float[] re, float[] im) = Forward(RealFft.Create(size, lanes), samples);

        double inTime = samples.Sum(x => (double)x * x), inFrequency = 0;
        for (int k = 0; k <= size / 2; k++)
        {
            double power = ((double)re[k] * re[k]) + ((double)im[k] * im[k]);
            inFrequency += (k == 0 || k == size / 2 ? 1 : 2) * power;
        }

        Assert.Equal(1, inFrequency / size / inTime, 1e-6);
    }

    [Theory]
    [InlineData(16, 3)]
    [InlineData(512, 100)]
    [InlineData(4096, 4095)]
    [InlineData(65536, 12_345)]
    public void Forward_OfADelayedSignal_TurnsPhaseInProportionToFrequency(int size, int delay)
    {
        float[] samples = Noise(size, seed: 4);
        float[] delayed = [.. samples[^delay..], .. samples[..^delay]];
        (float[] re, float[] im) = Forward(RealFft.OfSize(size), samples);
        (float[] delayedRe, float[] delayedIm) = Forward(RealFft.OfSize(size), delayed);

        for (int k = 0; k <= size / 2; k++)
        {
            Complex expected = new Complex(re[k], im[k])
                * Complex.FromPolarCoordinates(1, -2 * Math.PI * ((long)k * delay % size) / size);
            Assert.InRange(
                Complex.Abs(expected - new Complex(delayedRe[k], delayedIm[k])), 0, 1e-5 * Math.Sqrt(size));
        }
    }

    [Theory]
    [InlineData(16)]
    [InlineData(1024)]
    [InlineData(32768)]
    public void Forward_OfAnImpulse_IsFlat(int size)
    {
        var samples = new float[size];
        samples[0] = 1;
        (float[] re, float[] im) = Forward(RealFft.OfSize(size), samples);
        Assert.All(re, x => Assert.Equal(1f, x));
        Assert.All(im, x => Assert.Equal(0f, x));
    }

    [Fact]
    public void Inverse_TakesFirstAndLastBinAsReal()
    {
        RealFft fft = RealFft.OfSize(256);
        var re = new float[fft.Bins];
        var im = new float[fft.Bins];
        (im[0], im[^1]) = (5, 7);
        var samples = new float[256];

        fft.Inverse(re, im, samples);

        Assert.All(samples, x => Assert.Equal(0f, x));
    }

    [Fact]
    public void OfSize_GivesOnePlanToAllThreads()
    {
        var plans = new RealFft[64];
        Parallel.For(0, plans.Length, i => plans[i] = RealFft.OfSize(2048));
        Assert.Single(plans.Distinct());
    }

    [Fact]
    public void Forward_OnManyThreadsAtOnce_GivesWhatOneThreadGives()
    {
        float[][] signals = [.. Enumerable.Range(0, 64).Select(i => Noise(4096, seed: i))];
        (float[] Re, float[] Im)[] alone = [.. signals.Select(x => Forward(RealFft.OfSize(4096), x))];
        var together = new (float[] Re, float[] Im)[64];

        Parallel.For(0, 64, i => together[i] = Forward(RealFft.OfSize(4096), signals[i]));

        for (int i = 0; i < 64; i++)
        {
            Assert.Equal(alone[i].Re, together[i].Re);
            Assert.Equal(alone[i].Im, together[i].Im);
        }
    }

    [Fact]
    public void Forward_OfASizeRunBefore_AllocatesNothing()
    {
        RealFft fft = RealFft.OfSize(4096);
        float[] samples = Noise(4096, seed: 1), re = new float[fft.Bins], im = new float[fft.Bins];
        fft.Forward(samples, re, im);
        fft.Inverse(re, im, samples);
        long before = GC.GetAllocatedBytesForCurrentThread();

        fft.Forward(samples, re, im);
        fft.Inverse(re, im, samples);

        Assert.Equal(before, GC.GetAllocatedBytesForCurrentThread());
    }

    [Theory]
    [InlineData(0)]
    [InlineData(8)]
    [InlineData(1000)]
    [InlineData(1 << 23)]
    public void OfSize_RefusesOtherSizes(int size) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => RealFft.OfSize(size));

    [Fact]
    public void Forward_RefusesShortSpans()
    {
        RealFft fft = RealFft.OfSize(64);
        Assert.Throws<ArgumentOutOfRangeException>(() => fft.Forward(new float[63], new float[33], new float[33]));
        Assert.Throws<ArgumentOutOfRangeException>(() => fft.Forward(new float[64], new float[32], new float[33]));
        Assert.Throws<ArgumentOutOfRangeException>(() => fft.Inverse(new float[33], new float[32], new float[64]));
    }

    /// <summary>
    /// Relative RMS error: one rounding to 24 bits is 6·10⁻⁸ at most, and errors of the log2 N levels add at random
    /// (Schatzman, Accuracy of the discrete Fourier transform, SIAM J. Sci. Comput. 17, 1996: growth as √log N).
    /// </summary>
    private static double RoundingAllowance(int size) => 1e-7 * Math.Sqrt(Math.Log2(size));

    private static double ErrorAgainstMathNet(RealFft fft, float[] samples)
    {
        (float[] re, float[] im) = Forward(fft, samples);
        Complex[] expected = [.. samples.Select(x => new Complex(x, 0))];
        Fourier.Forward(expected, FourierOptions.AsymmetricScaling);

        double error = 0, energy = 0;
        for (int k = 0; k < fft.Bins; k++)
        {
            error += Math.Pow(Complex.Abs(expected[k] - new Complex(re[k], im[k])), 2);
            energy += Math.Pow(Complex.Abs(expected[k]), 2);
        }

        return Math.Sqrt(error / energy);
    }

    private static void AssertInverseUndoesForward(RealFft fft)
    {
        float[] samples = Noise(fft.Size, seed: 2);
        (float[] re, float[] im) = Forward(fft, samples);
        var back = new float[fft.Size];

        fft.Inverse(re, im, back);

        double error = samples.Zip(back, (x, y) => Math.Pow(x - y, 2)).Sum() / samples.Sum(x => (double)x * x);
        Assert.InRange(Math.Sqrt(error), 0, 2 * RoundingAllowance(fft.Size));
    }

    private static (float[] Re, float[] Im) Forward(RealFft fft, float[] samples)
    {
        var re = new float[fft.Bins];
        var im = new float[fft.Bins];
        fft.Forward(samples, re, im);
        return (re, im);
    }

    private static float[] Noise(int count, int seed)
    {
        var random = new Random(seed);
        return [.. Enumerable.Range(0, count).Select(_ => (float)((random.NextDouble() * 2) - 1))];
    }
}
