using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Selection;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

/// <summary>What is wind and what only sounds as deep.</summary>
public class WindTests(ITestOutputHelper output)
{
    private const double Length = 60;

    /// <summary>It is far above the mic's usual rumble and above the rest of the speech, and too faint for the other mic.</summary>
    [Theory]
    [InlineData(85)]
    [InlineData(95)]
    public void ADeepVoiceThatHums_IsNoWind(double hz) =>
        Assert.DoesNotContain(Choose(Hums(hz, from: 30, to: 34)), fault => fault.Kind == FaultKind.Wind);

    [Fact]
    public void AVolleyOfKnocks_IsNoWind() =>
        Assert.DoesNotContain(Choose(Knocks(from: 30, to: 33)), fault => fault.Kind == FaultKind.Wind);

    /// <summary>The hum of an M, twice a second, as loud as speech.</summary>
    private static float[] Hums(double hz, double from, double to) => TestSound.Only(
        [.. Enumerable.Range(0, (int)(Length * TestSound.Rate)).Select(n => (double)n / TestSound.Rate).Select(second =>
            (float)(0.1 * Math.Abs(Math.Sin(2 * Math.PI * second)) * Math.Sin(2 * Math.PI * hz * second)))],
        from, to);

    /// <summary>Four a second.</summary>
    private static float[] Knocks(double from, double to) => TestSound.Only(
        [.. Enumerable.Range(0, (int)(Length * TestSound.Rate)).Select(n => (double)n / TestSound.Rate % 0.25).Select(second =>
            (float)(0.4 * Math.Exp(-second / 0.03) * Math.Sin(2 * Math.PI * 80 * second)))],
        from, to);

    private ImmutableArray<Fault> Choose(float[] lavalierMore)
    {
        float[] talk = TestSound.Speech(Length, seed: 5, gain: 0.1f);
        TakeSound sound = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, TestSound.Sum(talk, TestSound.Pink(Length, 1, 0.002f), lavalierMore)))
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Scratch, TestSound.Sum(
                TestSound.Gain(TestSound.InRoom(talk, seed: 3), -6), TestSound.Pink(Length, 2, 0.02f))))
            .Choose(0, Length);
        TestTake.Tell(sound, output);
        return sound.Faults;
    }
}
