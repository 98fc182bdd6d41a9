using SyncBench.Selection;
using SyncBench.Selection.Speakers;

namespace SyncBench.Reporting;

/// <summary>answers.csv: every question and answer, on the common clock.</summary>
public static class AnswersCsv
{
    /// <summary>
    /// One row a turn, take by take, in order of start. A take in which it cannot be told who speaks has none; the report
    /// says why. The stream stays open.
    /// </summary>
    public static void Write(Stream stream, DumpResult result)
    {
        using var table = new CsvTable(stream, "take", "kind", "start_s", "end_s", "duration_s", "first_words_s", "possible_restart");
        foreach (TakeSound sound in result.Takes)
        {
            foreach (Turn turn in sound.Talk.Turns)
            {
                table.Text(sound.Take.Name)
                    .Text(turn.Kind.InWords())
                    .Number(Figures.Seconds(turn.CommonRange.Start), Figures.SecondsFormat)
                    .Number(Figures.Seconds(turn.CommonRange.End), Figures.SecondsFormat)
                    .Number(Figures.Seconds(turn.CommonRange.Duration), Figures.SecondsFormat)
                    .Number(Figures.Seconds(turn.FirstWords), Figures.SecondsFormat)
                    .Text(turn.MayBeRestart ? "yes" : "no")
                    .EndRow();
            }
        }
    }
}
