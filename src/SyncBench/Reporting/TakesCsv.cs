using SyncBench.Alignment;
using SyncBench.Selection;
using SyncBench.Signal.Loudness;
using SyncBench.Timeline.Dialogue;

namespace SyncBench.Reporting;

/// <summary>takes.csv: where each take lies on the common clock, how many clips roll in it, how loud its dialogue file is.</summary>
public static class TakesCsv
{
    /// <summary>One row a take, in order of the common clock. The stream stays open.</summary>
    public static void Write(Stream stream, DumpResult result)
    {
        using var table = new CsvTable(
            stream, "take", "start_s", "end_s", "duration_s", "clips", "dialogue_file", "integrated_lufs", "range_lu",
            "true_peak_dbtp", "gain_to_target_db");
        foreach (TakeSound sound in result.Takes)
        {
            Take take = sound.Take;
            LoudnessFigures? file = sound.Loudness.File;
            table.Text(take.Name)
                .Number(Figures.Seconds(take.CommonRange.Start), Figures.SecondsFormat)
                .Number(Figures.Seconds(take.CommonRange.End), Figures.SecondsFormat)
                .Number(Figures.Seconds(take.CommonRange.Duration), Figures.SecondsFormat)
                .Number(take.Placements.Length, "0")
                .Text(file is null ? null : DialogueFiles.PathOf(take))
                .Number(Decibels(file?.IntegratedLufs), "0.00")
                .Number(Decibels(file?.RangeLu), "0.00")
                .Number(Decibels(file?.TruePeakDb), "0.00")
                .Number(Decibels(file?.GainDb), "0.00")
                .EndRow();
        }
    }

    private static decimal? Decibels(double? value) => value is { } number ? Figures.Finite(number, 2) : null;
}
