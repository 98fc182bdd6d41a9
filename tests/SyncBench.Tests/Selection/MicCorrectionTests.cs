using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Selection;

namespace SyncBench.Tests.Selection;

public class MicCorrectionTests
{
    private const double Length = 60;

    private static readonly Lazy<TestTake> Take = new(Made);

    [Theory]
    [InlineData("0:20", "0:31.5", 20, 31.5)]
    [InlineData("0:20.12", "0:20.9", 20.12, 20.9)] // shorter than any segment of the program's own
    [InlineData("0:00", "0:01", 0, 1)]
    [InlineData("0:55", "2:00", 55, Length)] // as far as it rolls
    public void TheCorrectedMic_IsHeardExactlyThereAndMarked(string from, string to, double start, double end)
    {
        TakeSound sound = Take.Value.Choose(0, Length, new MicCorrection(1, MicRole.Shotgun, from, to));

        Segment byHand = Assert.Single(sound.Segments, segment => segment.ByHand);
        Assert.Equal((start, end), (byHand.CommonRange.Start.ToSeconds(), byHand.CommonRange.End.ToSeconds()));
        Assert.Equal((MicRole.Shotgun, "shotgun: as corrected by hand"), (byHand.Source.Mic.Role, byHand.Reason));
        Assert.All(sound.Segments.Where(segment => !segment.ByHand), segment => Assert.Equal(MicRole.Lavalier, segment.Source.Mic.Role));
        Assert.Equal(Length, sound.Segments.Sum(segment => segment.CommonRange.Duration.ToSeconds()), 1e-9);
    }

    [Fact]
    public void ACorrectionTowardsAFaultyMic_Wins()
    {
        TakeSound sound = Take.Value.Choose(0, Length, new MicCorrection(1, MicRole.Scratch, "0:10", "0:50"));
        Assert.Equal(1, TestTake.Share(sound, MicRole.Scratch, 10, 50));
    }

    [Fact]
    public void DeviceAndChannel_TellMicsOfOneKindApart()
    {
        float[] talk = TestSound.Sum(TestSound.Speech(20, seed: 5, gain: 0.1f), TestSound.White(20, 1, 0.001f));
        TestTake take = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, talk), (MicRole.Lavalier, [.. talk]))
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Scratch, [.. talk]));

        TakeSound sound = take.Choose(0, 20, new MicCorrection(1, MicRole.Lavalier, "0:05", "0:10", "RECORDER", 2));

        Assert.Equal(1, Assert.Single(sound.Segments, segment => segment.ByHand).Source.Mic.Channel);
    }

    [Theory]
    [InlineData(MicRole.Boom, "0:10", "0:20", "the take has no such mic")]
    [InlineData(MicRole.Shotgun, "1:10", "1:20", "does not roll then")]
    public void ACorrectionThatTheTakeCannotFollow_IsSaidInOneLine(MicRole mic, string from, string to, string words)
    {
        SettingsException wrong = Assert.Throws<SettingsException>(
            () => Take.Value.Choose(0, Length, new MicCorrection(1, mic, from, to)));
        Assert.Contains(words, wrong.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', wrong.Message);
    }

    private static TestTake Made()
    {
        float[] talk = TestSound.Speech(Length, seed: 5, gain: 0.1f);
        float[] Noisy(int seed, float gain) => TestSound.Sum(talk, TestSound.White(Length, seed, gain));
        float[] rustling = TestSound.Sum(Noisy(3, 0.01f), TestSound.Only(TestSound.Cloth(Length, seed: 9, 0.2f), 15, 45));
        return new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, Noisy(1, 0.001f)))
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Scratch, rustling), (MicRole.Shotgun, Noisy(2, 0.003f)));
    }
}
