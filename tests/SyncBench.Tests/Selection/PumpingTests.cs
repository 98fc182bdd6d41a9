using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Selection;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

/// <summary>Ten decibels of gain at ten decibels a second, which is what a camera's automatic does (common practice).</summary>
public class PumpingTests(ITestOutputHelper output)
{
    private const double From = 15, To = 60, Slack = 0.1, EchoSeconds = 0.3;

    [Fact]
    public async Task AGainThatRidesTheShotgun_IsToldFromTheFirstPauseToTheLastInWhichItIsHeard()
    {
        float[] far = await Ropewalk.HearAsync(Ropewalk.Shotgun, 22);
        bool[] heard = await HeardAsync(Ride(far, Ropewalk.Shotgun));
        TakeSound sound = await ChooseAsync(ridesLavalier: false);
        Fault told = Assert.Single(sound.Faults, fault => fault.Kind == FaultKind.Pumping);
        Assert.Equal(MicRole.Shotgun, told.Source.Mic.Role);
        Assert.InRange(told.CommonRange.Start.ToSeconds(), From, From + Seconds(Array.IndexOf(heard, true)) + Slack);
        Assert.InRange(told.CommonRange.End.ToSeconds(), From + Seconds(Array.LastIndexOf(heard, true)) - Slack, To);
    }

    [Fact]
    public async Task NoiseThatSetsInOnOneMic_IsNoGain()
    {
        float[] close = await Ropewalk.HearAsync(Ropewalk.Lavalier, 26), far = await Ropewalk.HearAsync(Ropewalk.Shotgun, 22);
        float[] noisier = await Ropewalk.HearAsync(Ropewalk.Shotgun, 14);
        Ridden(noisier).CopyTo(Ridden(far));
        TakeSound sound = Choose(close, far);
        Assert.DoesNotContain(sound.Faults, fault => fault.Kind == FaultKind.Pumping);
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

        return Choose(close, far);
    }

    private TakeSound Choose(float[] close, float[] far)
    {
        TakeSound sound = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, close))
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Shotgun, far))
            .Choose(0, (double)close.Length / TestSound.Rate);
        TestTake.Tell(sound, output);
        return sound;
    }

    private static float[] Ride(float[] sound, Microphone mic) =>
        new AutomaticGain(mic.SpeechDb - 5, RangeDb: 10, RiseDbPerSecond: 10).Ride(Ridden(sound), TestSound.Rate);

    private static Span<float> Ridden(float[] sound) => sound.AsSpan((int)(From * TestSound.Rate)..(int)(To * TestSound.Rate));

    /// <summary>Whether the noise is plainly heard to stand higher, by 3 dB (common practice), which a voice and the echo behind it would hide.</summary>
    private static async Task<bool[]> HeardAsync(float[] gainDb)
    {
        var heard = Array.ConvertAll(gainDb, db => db >= 3);
        foreach (Speaker speaker in Enum.GetValues<Speaker>())
        {
            foreach ((double from, double to) in await Ropewalk.SentencesAsync(speaker))
            {
                int first = Math.Clamp((int)((from - From) * TestSound.Rate), 0, heard.Length);
                int end = Math.Clamp((int)((to + EchoSeconds - From) * TestSound.Rate), 0, heard.Length);
                heard.AsSpan(first, end - first).Clear();
            }
        }

        return heard;
    }

    private static double Seconds(int sample) => (double)sample / TestSound.Rate;
}
