using SyncBench.Alignment;
using SyncBench.Scenes;
using SyncBench.Selection;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

/// <summary>By how much one mic hears the talkers louder than another.</summary>
public class MicMatchTests(ITestOutputHelper output)
{
    /// <summary>
    /// The lavalier against a camera across the room, which rings: above 1 kHz there is little but hisses and their echo, and the camera's
    /// noise. The truth is the ratio of the powers of the same sentences of the subject without noise.
    /// </summary>
    [Theory]
    [InlineData(28, 14)]
    [InlineData(24, 12)]
    public async Task TheNearerTalkersHisses_AreMeasuredAsHeIsHeard(double lavalierSnrDb, double cameraSnrDb)
    {
        MicTrack near = TestTake.Track(await Ropewalk.HearAsync(Ropewalk.Lavalier, lavalierSnrDb));
        MicTrack far = TestTake.Track(await Ropewalk.HearAsync(Ropewalk.Scratch, cameraSnrDb));
        MicMatch match = MicMatch.Between(near, SpeechPresence.Of(near), far, SpeechPresence.Of(far))!;

        float[] said = [.. match.MostHalfDb[SpeechBands.FirstHigh..].Select(level => level / 2)];
        float[] truth = await RatiosDbAsync();
        output.WriteLine($"{string.Join(' ', said)}\n{string.Join(' ', truth.Select(db => MathF.Round(db, 1)))}");
        Assert.Equal(truth.Average(), said.Average(), 3f);
        Assert.All(said.Zip(truth), band => Assert.Equal(band.Second, band.First, 4f));
    }

    private static async Task<float[]> RatiosDbAsync()
    {
        BandLevels near = TestSound.Levels(await Ropewalk.HearAsync(Ropewalk.Lavalier, 80));
        BandLevels far = TestSound.Levels(await Ropewalk.HearAsync(Ropewalk.Scratch, 80));
        int[] steps =
        [
            .. (await Ropewalk.SentencesAsync(Speaker.Subject))
                .SelectMany(sentence => Enumerable.Range((int)(sentence.From * 100), (int)((sentence.To - sentence.From) * 100))),
        ];
        return
        [
            .. Enumerable.Range(SpeechBands.FirstHigh, BandLevels.Bands - SpeechBands.FirstHigh).Select(band =>
                SpeechBands.Db(steps.Sum(step => SpeechBands.Power(near.Step(step)[band])))
                - SpeechBands.Db(steps.Sum(step => SpeechBands.Power(far.Step(step)[band])))),
        ];
    }
}
