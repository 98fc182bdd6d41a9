using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

/// <summary>Where faults begin and end.</summary>
public class FaultEdgeTests(ITestOutputHelper output)
{
    private const double Length = 60;

    /// <summary>A tenth of a second, as the bench asks.</summary>
    private const double Near = 0.1;

    /// <summary>On a camera's mic rumble comes and goes, and in every half second some of it is nearly as loud as a lull of the gust.</summary>
    [Theory]
    [InlineData(20, 24.5, 0.03)]
    [InlineData(31.2, 34.9, 0.05)]
    [InlineData(40.7, 45, 0.1)]
    public void WindInRumble_BeginsAndEndsWhereItRises(double from, double to, float gain)
    {
        float[] rumble = TestSound.Envelope(TestSound.Wind(Length, seed: 8, gain: 0.006f), second => 4 * Math.Sin(second));
        float[] wind = TestSound.Only(TestSound.Wind(Length, seed: 9, gain), from, to);
        TakeSound sound = Choose(lavalierMore: new float[rumble.Length], cameraMore: TestSound.Sum(rumble, wind));

        TimeRange gust = Assert.Single(sound.Faults.AsEnumerable(), fault => fault.Kind == FaultKind.Wind).CommonRange;
        Assert.Equal(from, gust.Start.ToSeconds(), Near);
        Assert.Equal(to, gust.End.ToSeconds(), Near);
    }

    [Theory]
    [InlineData(-26, false)]
    [InlineData(-6, true)]
    public void AScrapeBeforeStrongOnes_BelongsToThemIfItIsHeardBesideThem(double faintDb, bool belongs)
    {
        const double From = 30, To = 33, Before = 0.35;
        float[] strong = TestSound.Only(TestSound.Cloth(Length, seed: 9, gain: 0.3f), From, To);
        float[] faint = TestSound.Gain(TestSound.Only(TestSound.Cloth(Length, seed: 10, gain: 0.3f), From - Before, From - Before + 0.1), faintDb);
        TakeSound sound = Choose(lavalierMore: TestSound.Sum(strong, faint), cameraMore: new float[strong.Length]);

        TimeRange rustle = Assert.Single(sound.Faults.AsEnumerable(), fault => fault.Kind == FaultKind.Rustle).CommonRange;
        Assert.Equal(belongs ? From - Before : From, rustle.Start.ToSeconds(), Near);
        Assert.Equal(To, rustle.End.ToSeconds(), Near);
    }

    /// <summary>The cloth begins somewhere under a hiss that both mics hear, and nothing tells where.</summary>
    [Fact]
    public void ScrapesUnderAHiss_BeginHalfwayThroughIt()
    {
        const double From = 30, To = 33, Hidden = 0.5;
        float[] cloth = TestSound.Only(TestSound.Cloth(Length, seed: 9, gain: 0.1f), From, To);
        float[] hiss = TestSound.Only(TestSound.White(Length, seed: 11, gain: 0.2f), From - Hidden, From + Hidden);
        TakeSound sound = Choose(lavalierMore: TestSound.Sum(cloth, hiss), cameraMore: TestSound.Gain(hiss, -6));

        TimeRange rustle = Assert.Single(sound.Faults.AsEnumerable(), fault => fault.Kind == FaultKind.Rustle).CommonRange;
        Assert.Equal(From, rustle.Start.ToSeconds(), 0.2);
        Assert.Equal(To, rustle.End.ToSeconds(), Near);
    }

    private TakeSound Choose(float[] lavalierMore, float[] cameraMore)
    {
        float[] talk = TestSound.Speech(Length, seed: 5, gain: 0.1f);
        TakeSound sound = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, TestSound.Sum(talk, TestSound.White(Length, 1, 0.001f), lavalierMore)))
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Scratch, TestSound.Sum(
                TestSound.Gain(TestSound.InRoom(talk, seed: 3), -6), TestSound.White(Length, 2, 0.002f), cameraMore)))
            .Choose(0, Length);
        TestTake.Tell(sound, output);

        return sound;
    }
}
