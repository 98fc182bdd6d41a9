using System.Collections.Immutable;
using SyncBench.Intake;
using SyncBench.Reporting;
using SyncBench.Selection;
using SyncBench.Time;
using SyncBench.Timeline;
using SyncBench.Timeline.Dialogue;

namespace SyncBench.Pipeline;

/// <summary>Writes every file of the results folder.</summary>
internal static class ResultWriter
{
    internal static void Write(
        OutputFolder output, DumpResult result, TimelineSettings settings, TimelineModel timeline,
        ImmutableArray<DialogueSound> dialogues, ImmutableArray<(string Name, DialogueSound Sound)> mics, ReportMedia media)
    {
        var earlier = EarlierResults.In(output, result.Name);
        output.Write("timeline.otio", stream =>
        {
            if (settings.Takes == TakeLayout.Nested)
            {
                OtioWriter.WriteCollection(stream, result.Name, TimelineBuilder.Timelines(result, settings), output.FullPath);
            }
            else
            {
                TimelineModel cut = settings.SoundDrift == DriftCorrection.Cut ? timeline : TimelineBuilder.Timelines(result, settings)[0];
                OtioWriter.Write(stream, cut, output.FullPath);
            }
        });
        foreach (EdlList list in EdlWriter.Lists(timeline))
        {
            output.WriteText($"edl/{list.FileName}", text => text.Write(list.Text));
        }

        foreach (DialogueSound dialogue in dialogues)
        {
            output.Write(DialogueFiles.PathOf(dialogue.Take), stream => DialogueFiles.Write(stream, dialogue, result.Name, result.MadeAt));
            foreach ((string path, long first, long count) in DialogueFiles.AroundChanges(dialogue))
            {
                output.Write(path, stream =>
                    DialogueFiles.WriteExcerpt(stream, dialogue, first, count, result.Name, result.MadeAt));
            }
        }

        output.WriteText("markers.vtt", text => MarkerList.Write(
            text, timeline, new TimeRange(MediaTime.Zero, timeline.Duration),
            $"the first frame of timeline.otio, {timeline.Numbering.Format(timeline.FirstFrame)}"));
        foreach (DialogueSound dialogue in dialogues)
        {
            var range = new TimeRange(
                dialogue.CommonStart - timeline.Start, MediaTime.FromUnits(dialogue.Track.Samples, TimelineModel.SoundRate));
            string wave = DialogueFiles.PathOf(dialogue.Take);
            output.WriteText(DialogueFiles.MarkersPathOf(dialogue.Take), text =>
                MarkerList.Write(text, timeline, range, $"the first sample of {Path.GetFileName(wave)}"));
        }

        foreach (var take in mics.GroupBy(mic => mic.Sound.Take))
        {
            output.Write(DialogueFiles.MicsPathOf(take.Key), stream =>
                DialogueFiles.WriteMics(stream, [.. take], timeline, result.MadeAt));
        }

        output.Write("clips.csv", stream => ClipsCsv.Write(stream, result));
        output.Write("takes.csv", stream => TakesCsv.Write(stream, result));
        output.Write("segments.csv", stream => SegmentsCsv.Write(stream, result));
        output.Write("answers.csv", stream => AnswersCsv.Write(stream, result));
        TimelineModel? whole = settings.Takes == TakeLayout.Nested ? null : timeline;
        output.WriteText("report/index.html", text => HtmlReport.Write(text, result, whole, media));
        output.Write("sync.json", stream => SyncJson.Write(stream, result, whole, output.Written));
        earlier.RemoveStale();
    }
}
