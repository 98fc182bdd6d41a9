using SyncBench.Selection;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

public class NearerVoiceTests(ITestOutputHelper output)
{
    private const double Length = 90;

    /// <summary>Who asks has 6 s of every 30: what is usual in the talk is then what the other's voice makes of it, and tells nothing.</summary>
    [Fact]
    public void WhoSpeaksMost_IsToldAsTheNearerOne()
    {
        float[] subject = TestSound.Envelope(TestSound.Speech(Length, seed: 5, gain: 0.1f), second => Asks(second) ? -200 : 0);
        float[] asked = TestSound.Envelope(TestSound.Speech(Length, seed: 6, gain: 0.03f, voiceHz: 180), second => Asks(second) ? 0 : -200);
        MicTrack near = TestTake.Track(TestSound.Sum(subject, asked, TestSound.White(Length, 1, 0.0005f)));
        MicTrack far = TestTake.Track(TestSound.Sum(TestSound.Gain(subject, -8), TestSound.Gain(asked, 8), TestSound.White(Length, 2, 0.002f)));
        MicMatch match = MicMatch.Between(near, SpeechPresence.Of(near), far, SpeechPresence.Of(far))!;

        bool[] nearer = NearerVoice.Of(near, [(far, match)]);
        double answers = Share(nearer, second => !Asks(second)), questions = Share(nearer, Asks);
        output.WriteLine(FormattableString.Invariant($"marked: {answers:0.00} of the answers, {questions:0.00} of the questions"));
        Assert.InRange(answers, 0.9, 1);
        Assert.InRange(questions, 0, 0.2);
    }

    private static bool Asks(double second) => second % 30 >= 24;

    private static double Share(bool[] steps, Predicate<double> counts) =>
        Enumerable.Range(0, steps.Length).Where(step => counts(step / 100.0)).Average(step => steps[step] ? 1.0 : 0);
}
