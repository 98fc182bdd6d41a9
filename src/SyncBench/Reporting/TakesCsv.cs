using SyncBench.Alignment;
using SyncBench.Selection;

namespace SyncBench.Reporting;

/// <summary>takes.csv: where each take lies on the common clock and how many clips roll in it.</summary>
public static class TakesCsv
{
    /// <summary>One row a take, in order of the common clock. The stream stays open.</summary>
    public static void Write(Stream stream, DumpResult result)
    {
        using var table = new CsvTable(stream, "take", "start_s", "end_s", "duration_s", "clips");
        foreach (Take take in result.Takes.Select(sound => sound.Take))
        {
            table.Text(take.Name)
                .Number(Figures.Seconds(take.CommonRange.Start), Figures.SecondsFormat)
                .Number(Figures.Seconds(take.CommonRange.End), Figures.SecondsFormat)
                .Number(Figures.Seconds(take.CommonRange.Duration), Figures.SecondsFormat)
                .Number(take.Placements.Length, "0")
                .EndRow();
        }
    }
}
