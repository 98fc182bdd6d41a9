using SyncBench.Scenes;

namespace SyncBench.Tests.Scenes;

public class DeviceClockTests
{
    [Theory]
    [InlineData(45, 48_000, 997)]
    [InlineData(-12, 48_000, 15_000)]
    [InlineData(-100, 48_000, 60)]
    [InlineData(30, 44_100, 5000)]
    [InlineData(30, 16_000, 1000)]
    public void Record_OfASine_IsTheSineAtTheDevicesOwnInstants(double ppm, int rate, double hz)
    {
        const double Start = 0.1234567;
        float[] air = Sine(hz, 48_000);

        float[] recorded = new DeviceClock(ppm, rate).Record(air, Start, rate / 2);

        for (int n = 0; n < recorded.Length; n++)
        {
            double trueTime = Start + (n * (1 + (ppm * 1e-6)) / rate);
            Assert.Equal(0.5 * Math.Sin(2 * Math.PI * hz * trueTime), recorded[n], 1e-5);
        }
    }

    [Fact]
    public void Record_AtALowerRate_LetsNothingFoldBack()
    {
        float[] recorded = new DeviceClock(0, 44_100).Record(Sine(23_000, 48_000), 0.1, 22_050);
        Assert.All(recorded, sample => Assert.InRange(Math.Abs(sample), 0, 0.5 * 1e-5)); // 100 dB down
    }

    [Fact]
    public void Record_OfMoreThanFullScale_Clips()
    {
        float[] loud = Array.ConvertAll(Sine(100, 4800), sample => sample * 4);
        float[] recorded = new DeviceClock(0).Record(loud, 0, 4800);
        Assert.Equal(1, recorded.Max());
        Assert.Equal(-1, recorded.Min());
    }

    private static float[] Sine(double hz, int count) =>
        [.. Enumerable.Range(0, count).Select(n => (float)(0.5 * Math.Sin(2 * Math.PI * hz * n / 48_000)))];
}
