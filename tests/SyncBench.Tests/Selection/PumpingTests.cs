using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Selection;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

/// <summary>Ten decibels of gain at ten decibels a second, which is what a camera's automatic does (common practice).</summary>
public class PumpingTests(ITestOutputHelper output)
{
    private const double From = 15, To = 60;

    [Fact]
    public async Task AGainThatRidesTheShotgun_IsToldForAboutAsLongAsItDoes()
    {
        TakeSound sound = await ChooseAsync(ridesLavalier: false);
        Fault told = Assert.Single(sound.Faults, fault => fault.Kind == FaultKind.Pumping);
        Assert.Equal(MicRole.Shotgun, told.Source.Mic.Role);

        // It shows in pauses only: between two of them it may begin and end anywhere.
        Assert.Equal(From, told.CommonRange.Start.ToSeconds(), 6.0);
        Assert.Equal(To, told.CommonRange.End.ToSeconds(), 6.0);
    }

    [Fact]
    public async Task NoiseThatComesUpInThePausesOfEveryMic_IsTheRooms()
    {
        TakeSound sound = await ChooseAsync(ridesLavalier: true);
        Assert.DoesNotContain(sound.Faults, fault => fault.Kind == FaultKind.Pumping);
    }

    private async Task<TakeSound> ChooseAsync(bool ridesLavalier)
    {
        float[] close = await Ropewalk.HearAsync(Ropewalk.Lavalier, 26), far = await Ropewalk.HearAsync(Ropewalk.Shotgun, 22);
        Ride(far, Ropewalk.Shotgun);
        if (ridesLavalier)
        {
            Ride(close, Ropewalk.Lavalier);
        }

        TakeSound sound = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, close))
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Shotgun, far))
            .Choose(0, (double)close.Length / TestSound.Rate);
        TestTake.Tell(sound, output);

        return sound;
    }

    private static void Ride(float[] sound, Microphone mic) =>
        new AutomaticGain(mic.SpeechDb - 5, RangeDb: 10, RiseDbPerSecond: 10)
            .Ride(sound.AsSpan((int)(From * TestSound.Rate)..(int)(To * TestSound.Rate)), TestSound.Rate);
}
