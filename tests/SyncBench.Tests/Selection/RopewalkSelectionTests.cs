using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Selection;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

/// <summary>Speech by espeak-ng 1.51, an independent synthesiser, in a simulated room.</summary>
public class RopewalkSelectionTests(ITestOutputHelper output)
{
    private const double Margin = 3;
    private const double Length = 75;

    [Fact]
    public async Task ACalmDay_IsHeardThroughTheLavalierAlone()
    {
        TakeSound sound = await ChooseAsync(32, 22);
        Assert.Empty(sound.Faults);
        Assert.Equal(MicRole.Lavalier, Assert.Single(sound.Segments.Select(s => s.Source.Mic.Role)));
    }

    [Fact]
    public async Task ACalmDayWithTwoMics_IsHeardThroughTheLavalierAlone()
    {
        TakeSound sound = await ChooseAsync(32, 22, withScratch: false);
        Assert.Empty(sound.Faults);
        Assert.Equal(MicRole.Lavalier, Assert.Single(sound.Segments.Select(s => s.Source.Mic.Role)));
    }

    [Theory]
    [InlineData(30, 20, -12)]
    [InlineData(50, 6, -12)]
    [InlineData(48, 3, -18)]
    [InlineData(40, 15, -24)]
    public async Task RustleOnTheLavalier_IsHeardThroughTheShotgun(double at, double seconds, double gainDb)
    {
        float[] cloth = Ropewalk.Rustle(at, seconds, gainDb);
        float audible = 0.1f * cloth.Max(MathF.Abs); // within 20 dB of its loudest

        TakeSound sound = await ChooseAsync(32, 22, onLavalier: cloth);

        double share = TestTake.Share(sound, MicRole.Shotgun, at, at + seconds, Rustles);
        Assert.InRange(share, 0.95, 1);
        Assert.Equal(1, TestTake.Share(sound, MicRole.Lavalier, 0, at - Margin));
        Assert.Equal(1, TestTake.Share(sound, MicRole.Lavalier, at + seconds + Margin, Length));

        bool Rustles(double second) =>
            cloth.Skip((int)((second - 0.005) * TestSound.Rate)).Take(160).Any(x => MathF.Abs(x) > audible);
    }

    [Theory]
    [InlineData(24)]
    [InlineData(12)]
    public async Task WindOnTheBetterShotgun_IsHeardThroughTheLavalier(double gainDb)
    {
        TakeSound sound = await ChooseAsync(
            15, 25, onShotgun: Ropewalk.Wind(at: 40, seconds: 20, gainDb));
        Assert.InRange(TestTake.Share(sound, MicRole.Lavalier, 40, 60), 0.95, 1);
        Assert.Equal(1, TestTake.Share(sound, MicRole.Shotgun, 0, 40 - Margin));
        Assert.Equal(1, TestTake.Share(sound, MicRole.Shotgun, 60 + Margin, Length));
    }

    [Theory]
    [InlineData(10, 16)]
    [InlineData(16, 22)]
    [InlineData(20, 26)]
    public async Task AShotgunSixDecibelsCleaner_IsTakenForNearlyAllSpeech(double lavalierSnr, double shotgunSnr)
    {
        TakeSound sound = await ChooseAsync(lavalierSnr, shotgunSnr);
        (double From, double To)[] speech = await Ropewalk.SentencesAsync(Speaker.Subject);
        double share = TestTake.Share(
            sound, MicRole.Shotgun, 0, Length, at => speech.Any(sentence => at >= sentence.From && at < sentence.To));
        Assert.InRange(share, 0.98, 1);
    }

    [Theory]
    [InlineData(12, 14)]
    [InlineData(20, 22)]
    public async Task AShotgunTwoDecibelsCleaner_IsNotTaken(double lavalierSnr, double shotgunSnr)
    {
        TakeSound sound = await ChooseAsync(lavalierSnr, shotgunSnr);
        Assert.Equal(MicRole.Lavalier, Assert.Single(sound.Segments.Select(s => s.Source.Mic.Role)));
    }

    private async Task<TakeSound> ChooseAsync(
        double lavalierSnr, double shotgunSnr, bool withScratch = true, float[]? onLavalier = null, float[]? onShotgun = null)
    {
        float[] close = await Ropewalk.HearAsync(Ropewalk.Lavalier, lavalierSnr, onLavalier);
        (MicRole, float[])[] camera = [(MicRole.Shotgun, await Ropewalk.HearAsync(Ropewalk.Shotgun, shotgunSnr, onShotgun))];
        if (withScratch)
        {
            camera = [(MicRole.Scratch, await Ropewalk.HearAsync(Ropewalk.Scratch, 11)), .. camera];
        }

        double length = (double)close.Length / TestSound.Rate;
        TakeSound sound = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, close))
            .Clip("CAM_A", DeviceKind.Camera, 0, camera)
            .Choose(0, length);
        TestTake.Tell(sound, output);

        return sound;
    }
}
