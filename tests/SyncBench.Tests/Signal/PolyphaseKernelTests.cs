using SyncBench.Signal.Resampling;
using SyncBench.Signal.Vectors;

namespace SyncBench.Tests.Signal;

public unsafe class PolyphaseKernelTests
{
    private const int TapCount = 256;

    public static TheoryData<int> Widths() =>
        [.. ((int[])[1, 4, 8, 16]).Where(lanes => lanes <= 8 ? lanes <= 4 || Lanes8.IsSupported : Lanes16.IsSupported)];

    [Theory]
    [MemberData(nameof(Widths))]
    public void Eight_IsOneAtEachStep_BitForBit(int lanes)
    {
        (float[] samples, float[] taps) = Input();
        var outputs = new float[16];
        fixed (float* samplesAt = samples, tapsAt = taps, outputsAt = outputs)
        {
            PolyphaseKernel kernel = OfLanes(lanes);
            kernel.Eight(samplesAt, 3, tapsAt, TapCount, outputsAt, 2);
            for (int j = 0; j < 8; j++)
            {
                Assert.Equal(kernel.One(samplesAt + (3 * j), tapsAt, TapCount), outputs[2 * j]);
                Assert.Equal(0, outputs[(2 * j) + 1]);
            }
        }
    }

    [Theory]
    [MemberData(nameof(Widths))]
    public void One_IsTheSumOfProducts(int lanes)
    {
        (float[] samples, float[] taps) = Input();
        double expected = taps.Zip(samples, (tap, sample) => (double)tap * sample).Sum();
        fixed (float* samplesAt = samples, tapsAt = taps)
        {
            Assert.Equal(expected, OfLanes(lanes).One(samplesAt, tapsAt, TapCount), 1e-5);
        }
    }

    private static PolyphaseKernel OfLanes(int lanes) => lanes switch
    {
        16 => new PolyphaseKernelOfLanes<Lanes16>(),
        8 => new PolyphaseKernelOfLanes<Lanes8>(),
        4 => new PolyphaseKernelOfLanes<Lanes4>(),
        _ => new PolyphaseKernelOfLanes<Lanes1>(),
    };

    private static (float[] Samples, float[] Taps) Input()
    {
        var random = new Random(5);
        return (
            [.. Enumerable.Range(0, TapCount + 21).Select(_ => (float)(random.NextDouble() - 0.5))],
            [.. Enumerable.Range(0, TapCount).Select(_ => (float)(random.NextDouble() - 0.5))]);
    }
}
