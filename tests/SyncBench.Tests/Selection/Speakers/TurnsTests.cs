using SyncBench.Selection.Speakers;
using SyncBench.Time;

namespace SyncBench.Tests.Selection.Speakers;

public class TurnsTests
{
    [Fact]
    public void PausesUpToTwoAndAHalfSeconds_LieInsideAnAnswer()
    {
        Assert.Equal(["answer 0 to 14.4"], Told("S 0 5", "S 7.4 14.4"));
        Assert.Equal(["answer 0 to 5", "answer 7.6 to 14.4"], Told("S 0 5", "S 7.6 14.4"));
    }

    [Fact]
    public void AQuestion_EndsAnAnswer() =>
        Assert.Equal(["answer 0 to 5", "question 6 to 8", "answer 8.5 to 12"], Told("S 0 5", "I 6 8", "S 8.5 12"));

    [Fact]
    public void AShortQuestionAfterAPause_IsAQuestion() =>
        Assert.Equal(["answer 0 to 5", "question 5.8 to 6.5", "answer 7.1 to 12"], Told("S 0 5", "I 5.8 6.5", "S 7.1 12"));

    [Fact]
    public void AListenersWord_TakesNoTurn()
    {
        Assert.Equal(["answer 0 to 12"], Told("S 0 5", "I 5.1 5.8", "S 6.1 12"));
        Assert.Equal(["answer 0 to 12"], Told("S 0 5", "B 5 5.8", "S 5.8 12"));
    }

    [Fact]
    public void WhereBothSpeak_QuestionAndAnswerOverlap() =>
        Assert.Equal(["answer 0 to 6", "question 5 to 9"], Told("S 0 5", "B 5 6", "I 6 9"));

    [Theory]
    [InlineData(2.9, 4.5, true)]
    [InlineData(3.1, 4.7, false)] // long enough to be an answer of its own
    [InlineData(2.9, 3.4, false)] // a comma
    public void AShortOpeningThatIsBegunAgain_IsMarked(double end, double again, bool restart)
    {
        Turn[] turns = Turns(FormattableString.Invariant($"S 0 {end}"), FormattableString.Invariant($"S {again} 20"));

        Assert.Equal(restart ? [true, false] : [false], turns.Select(turn => turn.MayBeRestart));
    }

    [Fact]
    public void AnAnswerOfUnderThreeSeconds_IsMarkedEvenIfAWordOfTheInterviewerComesBetween() =>
        Assert.Equal([true, false, false], Turns("S 0 2", "I 2.6 3.4", "S 3.9 9").Select(turn => turn.MayBeRestart));

    [Fact]
    public void TheLastAnswer_IsNeverARestart() => Assert.All(Turns("I 0 2", "S 2.5 4"), turn => Assert.False(turn.MayBeRestart));

    [Fact]
    public void FirstWords_ComeAfterAShortSoundAtTheStart()
    {
        Assert.Equal(1.4, Turns("S 0 0.7", "S 1.4 6")[0].FirstWords.ToSeconds());
        Assert.Equal(0, Turns("S 0 0.7")[0].FirstWords.ToSeconds());
    }

    private static Turn[] Turns(params string[] stretches) => [.. SyncBench.Selection.Speakers.Turns.Of([.. stretches.Select(stretch =>
    {
        string[] parts = stretch.Split(' ');
        double[] times = [.. parts[1..].Select(part => double.Parse(part, System.Globalization.CultureInfo.InvariantCulture))];
        return new SpeechStretch(
            TimeRange.Between(MediaTime.FromSeconds(times[0]), MediaTime.FromSeconds(times[1])),
            parts[0] switch { "S" => Speaking.Subject, "I" => Speaking.Interviewer, _ => Speaking.Both });
    })])];

    private static string[] Told(params string[] stretches) =>
    [
        .. Turns(stretches).Select(turn => FormattableString.Invariant(
            $"{(turn.Kind == TurnKind.Answer ? "answer" : "question")} {turn.CommonRange.Start.ToSeconds()} to {turn.CommonRange.End.ToSeconds()}")),
    ];
}
