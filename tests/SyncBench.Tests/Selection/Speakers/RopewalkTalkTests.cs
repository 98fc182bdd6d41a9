using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Selection.Speakers;
using SyncBench.Tests.Support;
using SyncBench.Time;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection.Speakers;

/// <summary>Speech by espeak-ng 1.51, an independent synthesiser, in a simulated room.</summary>
public class RopewalkTalkTests(ITestOutputHelper output)
{
    [Fact]
    public async Task WhoSpeaks_IsRightForNearlyAllSpeech()
    {
        Talk talk = await AskAsync(scratchSnr: 15);

        Assert.Null(talk.CannotTell);
        Assert.InRange(await ShareRightAsync(talk, Speaker.Subject, Speaking.Subject), 0.95, 1);
        Assert.InRange(await ShareRightAsync(talk, Speaker.Interviewer, Speaking.Interviewer), 0.95, 1);
    }

    [Fact]
    public async Task QuestionsAndAnswers_LieWithinAFifthOfASecond()
    {
        Talk talk = await AskAsync(scratchSnr: 15);
        IReadOnlyList<SpokenTurn> truth = await Ropewalk.TurnsAsync();

        foreach ((Speaker speaker, IEnumerable<Turn> told) in new[] { (Speaker.Subject, talk.Answers), (Speaker.Interviewer, talk.Questions) })
        {
            SpokenTurn[] spoken = [.. truth.Where(turn => turn.Speaker == speaker && !turn.IsInterjection)];
            Turn[] turns = [.. told];
            foreach (Turn turn in turns)
            {
                output.WriteLine($"{turn.Kind} {turn.CommonRange.Start} to {turn.CommonRange.End}");
            }

            Assert.Equal(spoken.Length, turns.Length);
            foreach ((SpokenTurn turn, Turn one) in spoken.Zip(turns))
            {
                output.WriteLine($"{speaker} {turn.Start / 48000.0:0.00} to {turn.End / 48000.0:0.00}: {one.CommonRange.Start} to {one.CommonRange.End}");
                Assert.InRange(one.CommonRange.Start.ToSeconds() - ((double)turn.Start / Air.SampleRateHz), -0.2, 0.2);
                Assert.InRange(one.CommonRange.End.ToSeconds() - ((double)turn.End / Air.SampleRateHz), -0.2, 0.2);
            }
        }
    }

    [Fact]
    public async Task TheSameSound_GivesTheSameAnswers()
    {
        Talk once = await AskAsync(scratchSnr: 5), again = await AskAsync(scratchSnr: 5);

        Assert.Equal(once.Stretches.AsEnumerable(), again.Stretches.AsEnumerable());
    }

    [Fact]
    public async Task WithOneVoiceAlone_NothingIsAQuestion()
    {
        using var folder = new TemporaryFolder();
        double until = (await Ropewalk.SentencesAsync(Speaker.Subject))[0].From - 0.2, to = (await Ropewalk.TurnsAsync())[2].Start / 48_000.0;
        float[] close = await Ropewalk.HearAsync(Ropewalk.Lavalier, 32), far = await Ropewalk.HearAsync(Ropewalk.Scratch, 15);
        Talk talk = new TestTake { SampleFolder = folder.Path }
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, close))
            .Clip("CAM_A", DeviceKind.Camera, -Ropewalk.LateSeconds(Ropewalk.Scratch), (MicRole.Scratch, far))
            .Choose(until, to - 0.2).Talk;

        Assert.Empty(talk.Questions);
        Assert.NotEqual(talk.CannotTell is null, talk.Turns.IsEmpty);
    }

    [Fact]
    public async Task OneMicOnly_CannotTellAndSaysSo()
    {
        float[] close = await Ropewalk.HearAsync(Ropewalk.Lavalier, 30);
        Talk talk = new TestTake().Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, close)).Choose(0, 60).Talk;

        Assert.Equal("only one mic rolls: who speaks cannot be told", talk.CannotTell);
        Assert.Empty(talk.Turns);
        Assert.Empty(talk.Stretches);
    }

    [Fact]
    public async Task WithoutALavalier_NobodyIsNear()
    {
        float[] one = await Ropewalk.HearAsync(Ropewalk.Shotgun, 20), other = await Ropewalk.HearAsync(Ropewalk.Scratch, 15);
        Talk talk = new TestTake().Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Scratch, other), (MicRole.Shotgun, one)).Choose(0, 60).Talk;

        Assert.StartsWith("no lavalier rolls", talk.CannotTell, StringComparison.Ordinal);
    }

    private static async Task<Talk> AskAsync(double scratchSnr)
    {
        using var folder = new TemporaryFolder();
        float[] close = await Ropewalk.HearAsync(Ropewalk.Lavalier, 32);
        return new TestTake { SampleFolder = folder.Path }
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, close))
            .Clip("CAM_A", DeviceKind.Camera, -Ropewalk.LateSeconds(Ropewalk.Scratch), (MicRole.Scratch, await Ropewalk.HearAsync(Ropewalk.Scratch, scratchSnr)))
            .Choose(0, (double)close.Length / TestSound.Rate)
            .Talk;
    }

    private static async Task<double> ShareRightAsync(Talk talk, Speaker speaker, Speaking who)
    {
        int all = 0, right = 0;
        foreach ((double from, double to) in await Ropewalk.SentencesAsync(speaker))
        {
            if (to - from < 0.7)
            {
                continue; // shorter than what is told
            }

            for (double at = from; at < to; at += 0.01, all++)
            {
                right += talk.Stretches.Any(s => s.Who == who && s.CommonRange.Contains(MediaTime.FromSeconds(at))) ? 1 : 0;
            }
        }

        return (double)right / all;
    }
}
