using SyncBench.Selection;
using SyncBench.Selection.Speakers;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>The answers of a take with their times, and the questions between them.</summary>
internal static class AnswerTable
{
    internal static HtmlText Of(TakeSound sound, TimecodeClock? timecode)
    {
        Talk talk = sound.Talk;
        if (talk.CannotTell is { } why)
        {
            return $"<p>No answers are listed: {why}.</p>\n";
        }

        if (talk.Turns.IsEmpty)
        {
            return $"<p>Nobody is heard to ask or to answer.</p>\n";
        }

        MediaTime zero = sound.Take.CommonRange.Start;
        var table = new HtmlTable(
            "Answers: the subject's speech from question to question. Questions: who is far from the lavalier",
            "Turn", "In the take", "Common clock", "Length", "Speech level", "First words, in the take", "Note");
        (int answers, int questions) = (0, 0);
        foreach (Turn turn in talk.Turns)
        {
            double db = TurnLevel.Db(sound, turn);
            int number = turn.Kind == TurnKind.Answer ? ++answers : ++questions;
            table.Row(
                $"{turn.Kind.InWords()} {number}",
                $"<span class=\"figure\">{Span(turn.CommonRange, zero)}</span>",
                $"<span class=\"figure\">{Span(turn.CommonRange, MediaTime.Zero)}</span>{timecode.Beside(turn.CommonRange)}",
                $"<span class=\"figure\">{Figures.Length(turn.CommonRange.Duration)}</span>",
                $"<span class=\"figure\">{(double.IsFinite(db) ? Figures.Signed(db, 1) + " dBFS" : "–")}</span>",
                $"<span class=\"figure\">{Figures.Clock(turn.FirstWords - zero)}</span>",
                $"{(turn.MayBeRestart ? "possible restart: short, and begun again at once" : "–")}");
        }

        return table.ToHtml();
    }

    private static string Span(TimeRange range, MediaTime zero) =>
        $"{Figures.Clock(range.Start - zero)} to {Figures.Clock(range.End - zero)}";
}
