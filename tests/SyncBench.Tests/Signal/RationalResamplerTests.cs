using SyncBench.Signal;

namespace SyncBench.Tests.Signal;

public class RationalResamplerTests
{
    public static TheoryData<int, int> RatesInUse() => new()
    {
        { 48_000, 16_000 },
        { 44_100, 16_000 },
        { 96_000, 16_000 },
        { 32_000, 16_000 },
        { 22_050, 16_000 },
        { 8_000, 16_000 },
    };

    public static TheoryData<int, int, double> TonesInThePassBand()
    {
        var rows = new TheoryData<int, int, double>();
        foreach (object[] rates in RatesInUse())
        {
            double nyquist = Math.Min((int)rates[0], (int)rates[1]) / 2.0;
            foreach (double share in (double[])[0.01, 0.2, 0.5, 0.8, 0.925])
            {
                rows.Add((int)rates[0], (int)rates[1], share * nyquist);
            }
        }

        return rows;
    }

    /// <summary>Amplitude and phase both: the output is held against the same sine at the new instants.</summary>
    [Theory]
    [MemberData(nameof(TonesInThePassBand))]
    public void OfATone_IsTheSameToneAtTheNewInstants(int fromHz, int toHz, double toneHz)
    {
        float[] output = Resample(Tone(fromHz / 4, fromHz, toneHz), fromHz, toHz);
        float[] expected = Tone(output.Length, toHz, toneHz);

        int edge = toHz / 25; // the filter's reach into the silence before and after
        for (int n = edge; n < output.Length - edge; n++)
        {
            Assert.Equal(expected[n], output[n], 1e-4f);
        }
    }

    [Theory]
    [InlineData(48_000, 16_000, 8_600)]
    [InlineData(48_000, 16_000, 9_500)]
    [InlineData(48_000, 16_000, 15_000)]
    [InlineData(48_000, 16_000, 17_000)]
    [InlineData(48_000, 16_000, 23_000)]
    [InlineData(44_100, 16_000, 8_700)]
    [InlineData(44_100, 16_000, 20_000)]
    [InlineData(96_000, 16_000, 31_000)]
    [InlineData(32_000, 16_000, 12_000)]
    public void OfAToneThatWouldFold_IsSilentTo90Decibels(int fromHz, int toHz, double toneHz)
    {
        float[] output = Resample(Tone(fromHz / 4, fromHz, toneHz), fromHz, toHz);
        Assert.InRange(Peak(output.AsSpan((toHz / 25)..^(toHz / 25))), 0, Math.Pow(10, -90 / 20.0));
    }

    /// <summary>What folds from between 8 and 8.6 kHz lands above 7.4 kHz: here 8.3 kHz at 7.7 kHz, only.</summary>
    [Fact]
    public void OfAToneJustAboveTheNyquistFrequency_FoldsOnlyAboveThePassBand()
    {
        float[] output = Resample(Tone(48_000, 48_000, 8_300), 48_000, 16_000);
        RealFft fft = RealFft.OfSize(8192);
        float[] windowed = [.. output.AsSpan(4000, 8192).ToArray().Zip(Window.Kaiser(8192, 14), (x, w) => x * w)];
        float[] re = new float[fft.Bins], im = new float[fft.Bins];
        fft.Forward(windowed, re, im);

        double full = Window.Kaiser(8192, 14).Sum() / 2;
        for (int k = 0; k < 7_400 * 8192 / 16_000; k++)
        {
            Assert.InRange(Math.Sqrt((re[k] * re[k]) + (im[k] * im[k])) / full, 0, Math.Pow(10, -90 / 20.0));
        }
    }

    [Fact]
    public void OfATone_RaisedInRate_HasNoImageTo90Decibels()
    {
        float[] output = Resample(Tone(8_000, 8_000, 3_000), 8_000, 16_000);
        float[] expected = Tone(output.Length, 16_000, 3_000);
        for (int n = 640; n < output.Length - 640; n++)
        {
            Assert.Equal(expected[n], output[n], 3.2e-5f); // the image at 5 kHz is all that could differ
        }
    }

    [Theory]
    [MemberData(nameof(RatesInUse))]
    public void InBlocksOfAnyLength_IsTheSameBitForBit(int fromHz, int toHz)
    {
        float[] input = Tone(50_001, fromHz, 1_234.5);
        float[] whole = Resample(input, fromHz, toHz);

        var resampler = new RationalResampler(fromHz, toHz);
        var pieces = new List<float>();
        var random = new Random(7);
        for (int at = 0; at < input.Length;)
        {
            int length = Math.Min(random.Next(0, 3_000), input.Length - at);
            var output = new float[resampler.MaxOutput(length)];
            pieces.AddRange(output.AsSpan(0, resampler.Process(input.AsSpan(at, length), output)));
            at += length;
        }

        var rest = new float[resampler.MaxOutput(0)];
        pieces.AddRange(rest.AsSpan(0, resampler.Finish(rest)));
        Assert.Equal(whole, pieces);
    }

    [Theory]
    [InlineData(48_000, 16_000, 0, 0)]
    [InlineData(48_000, 16_000, 1, 1)]
    [InlineData(48_000, 16_000, 3, 1)]
    [InlineData(48_000, 16_000, 4, 2)]
    [InlineData(44_100, 16_000, 44_100, 16_000)]
    [InlineData(44_100, 16_000, 44_101, 16_001)]
    [InlineData(8_000, 16_000, 101, 202)]
    [InlineData(16_000, 16_000, 777, 777)]
    public void HasAnOutputForEveryInstantOfTheInput(int fromHz, int toHz, int inputLength, int outputLength) =>
        Assert.Equal(outputLength, Resample(new float[inputLength], fromHz, toHz).Length);

    [Fact]
    public void OfEqualRates_IsTheInputBitForBit()
    {
        float[] input = Tone(10_000, 48_000, 997);
        Assert.Equal(input, Resample(input, 48_000, 48_000));
    }

    [Fact]
    public void AfterFinish_StandsAsNew()
    {
        float[] input = Tone(10_000, 44_100, 997);
        var resampler = new RationalResampler(44_100, 16_000);
        Assert.Equal(Resample(input, resampler), Resample(input, resampler));
    }

    /// <summary>Oracle: fixtures/signal/resampling.json, SciPy's resample_poly with a far longer filter.</summary>
    [Theory]
    [InlineData(48_000, 16_000)]
    [InlineData(44_100, 16_000)]
    [InlineData(8_000, 16_000)]
    public void AgreesWithSciPy(int fromHz, int toHz)
    {
        double[] expected = SciPyFixture.Open("resampling.json").Numbers($"{fromHz}_to_{toHz}");
        int count = fromHz / 20;
        var input = new float[count];
        for (int i = 0; i < count; i++)
        {
            double t = (double)i / fromHz, turn = 2 * Math.PI * t;
            double mix = (0.5 * Math.Sin(440 * turn)) + (0.3 * Math.Sin(1501 * turn)) + (0.1 * Math.Cos(3000 * turn));
            input[i] = (float)(Tukey(i, count) * mix);
        }

        float[] output = Resample(input, fromHz, toHz);

        Assert.Equal(expected.Length, output.Length);
        for (int n = 0; n < output.Length; n++)
        {
            Assert.Equal(expected[n], output[n], 3e-5);
        }
    }

    [Fact]
    public void Process_RefusesTooLittleRoom_AndTakesNothing()
    {
        var resampler = new RationalResampler(48_000, 16_000);
        Assert.Throws<ArgumentOutOfRangeException>(() => resampler.Process(new float[300], new float[10]));
        var output = new float[resampler.MaxOutput(0)];
        Assert.Equal(0, resampler.Finish(output));
    }

    /// <summary>scipy.signal.windows.tukey(count, 0.5): a cosine over the first and last quarter.</summary>
    private static double Tukey(int i, int count)
    {
        double fromEdge = Math.Min(i, count - 1 - i) / (double)(count - 1);
        return fromEdge >= 0.25 ? 1 : 0.5 * (1 + Math.Cos(Math.PI * ((fromEdge / 0.25) - 1)));
    }

    private static float Peak(ReadOnlySpan<float> samples)
    {
        float peak = 0;
        foreach (float sample in samples)
        {
            peak = Math.Max(peak, Math.Abs(sample));
        }

        return peak;
    }

    private static float[] Tone(int count, int rateHz, double hz) =>
        [.. Enumerable.Range(0, count).Select(n => (float)Math.Sin(2 * Math.PI * hz * n / rateHz))];

    private static float[] Resample(float[] input, int fromHz, int toHz) =>
        Resample(input, new RationalResampler(fromHz, toHz));

    private static float[] Resample(float[] input, RationalResampler resampler)
    {
        var output = new float[resampler.MaxOutput(input.Length)];
        int written = resampler.Process(input, output);
        written += resampler.Finish(output.AsSpan(written));
        return output[..written];
    }
}
