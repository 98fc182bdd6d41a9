using SyncBench.Alignment;
using SyncBench.Selection;

namespace SyncBench.Reporting;

/// <summary>clips.csv: every file of the dump, what it is and where it sits.</summary>
public static class ClipsCsv
{
    /// <summary>One row a file, in order of path. The stream stays open.</summary>
    public static void Write(Stream stream, DumpResult result)
    {
        using var table = new CsvTable(
            stream, "file", "device", "role", "take", "outcome", "start_s", "rate_ppm", "duration_s", "certainty", "reason",
            "timecode", "timecode_by_sound");
        foreach (FileOutcome file in result.Files)
        {
            Placement? placed = file.Outcome == Outcome.Placed ? file.Placement : null;
            table.Text(file.File.Path)
                .Text(file.Clip?.Device.Name)
                .Text(file.Clip is { } clip ? Words.Role(clip) : null)
                .Text(TakesOf.File(result, file))
                .Text(file.Outcome.InWords())
                .Number(placed is null ? null : Figures.Seconds(placed.CommonRange.Start), Figures.SecondsFormat)
                .Number(placed is null ? null : Figures.Finite(placed.Map.Ppm, 4), "0.0000")
                .Number(file.Clip is null ? null : Figures.Seconds(file.Clip.Duration), Figures.SecondsFormat)
                .Number(file.Placement is null ? null : Figures.Finite(file.Placement.Certainty, 9), "0.#########")
                .Text(file.Damage is null ? file.Reason : $"{file.Reason}. {file.Damage}")
                .Text(file.Timecode?.Label)
                .Text(file.Timecode?.LabelBySound)
                .EndRow();
        }
    }
}
