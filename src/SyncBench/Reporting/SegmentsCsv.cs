using SyncBench.Selection;

namespace SyncBench.Reporting;

/// <summary>segments.csv: which mic is heard when, on the common clock, and why.</summary>
public static class SegmentsCsv
{
    /// <summary>One row a segment, take by take. Channels count from 1. The stream stays open.</summary>
    public static void Write(Stream stream, DumpResult result)
    {
        using var table = new CsvTable(stream, "take", "start_s", "end_s", "mic_file", "channel", "reason");
        foreach (TakeSound sound in result.Takes)
        {
            foreach (Segment segment in sound.Segments)
            {
                table.Text(sound.Take.Name)
                    .Number(Figures.Seconds(segment.CommonRange.Start), Figures.SecondsFormat)
                    .Number(Figures.Seconds(segment.CommonRange.End), Figures.SecondsFormat)
                    .Text(segment.Source.Clip.File.Path)
                    .Number(segment.Source.Mic.Channel + 1, "0")
                    .Text(segment.Reason)
                    .EndRow();
            }
        }
    }
}
