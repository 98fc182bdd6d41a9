using SyncBench.Signal;

namespace SyncBench.Tests.Signal;

public class WindowTests
{
    /// <summary>Oracle: fixtures/signal/windows.json, scipy.signal.windows.</summary>
    [Theory]
    [InlineData("hann16", 16)]
    [InlineData("hann15", 15)]
    public void Hann_AgreesWithSciPy(string name, int n) => AssertAgree(name, Window.Hann(n));

    /// <summary>Oracle: fixtures/signal/windows.json, scipy.signal.windows.</summary>
    [Theory]
    [InlineData("kaiser33_beta9", 33, 9.0)]
    [InlineData("kaiser8_beta2_5", 8, 2.5)]
    public void Kaiser_AgreesWithSciPy(string name, int n, double beta) => AssertAgree(name, Window.Kaiser(n, beta));

    [Fact]
    public void Hann_OverlappedByHalf_AddsUpToOne()
    {
        float[] window = Window.Hann(512);
        for (int i = 0; i < 256; i++)
        {
            Assert.Equal(1f, window[i] + window[i + 256], 1e-6f);
        }
    }

    [Fact]
    public void OfOnePoint_IsOneOrZero()
    {
        Assert.Equal([1f], Window.Kaiser(1, 9));
        Assert.Equal([0f], Window.Hann(1));
    }

    private static void AssertAgree(string name, float[] actual)
    {
        double[] expected = SciPyFixture.Open("windows.json").Numbers(name);
        Assert.Equal(expected.Length, actual.Length);
        for (int i = 0; i < expected.Length; i++)
        {
            Assert.Equal(expected[i], actual[i], 1e-7);
        }
    }
}
