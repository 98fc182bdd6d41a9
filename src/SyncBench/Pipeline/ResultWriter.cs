using SyncBench.Reporting;
using SyncBench.Selection;
using SyncBench.Timeline;

namespace SyncBench.Pipeline;

/// <summary>Writes every file of the results folder.</summary>
internal static class ResultWriter
{
    internal static void Write(OutputFolder output, DumpResult result)
    {
        TimelineModel timeline = TimelineBuilder.Build(result);
        output.Write("timeline.otio", stream => OtioWriter.Write(stream, timeline, output.FullPath));
        foreach (EdlList list in EdlWriter.Lists(timeline))
        {
            output.WriteText($"edl/{list.FileName}", text => text.Write(list.Text));
        }

        output.Write("clips.csv", stream => ClipsCsv.Write(stream, result));
        output.Write("takes.csv", stream => TakesCsv.Write(stream, result));
        output.Write("segments.csv", stream => SegmentsCsv.Write(stream, result));
        output.Write("answers.csv", stream => AnswersCsv.Write(stream, result));
        output.WriteText("report/index.html", text => HtmlReport.Write(text, result));
        output.Write("sync.json", stream => SyncJson.Write(stream, result));
    }
}
