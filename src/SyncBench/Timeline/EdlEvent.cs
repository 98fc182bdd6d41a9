using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>A cut in whole frames of the timeline.</summary>
/// <param name="SourceIn">In the file's numbering.</param>
/// <param name="RecordIn">In the timeline's numbering.</param>
internal sealed record EdlEvent(TimelineItem Item, EdlSource Source, long SourceIn, long RecordIn, long Length)
{
    /// <returns>Null where the item is shorter than a frame.</returns>
    internal static EdlEvent? Of(TimelineItem item, EdlSource source, TimelineModel timeline)
    {
        Rate rate = timeline.FrameRate;
        long recordIn = item.RecordRange.Start.ToNearestUnit(rate), recordOut = item.RecordRange.End.ToNearestUnit(rate);
        long sourceIn = (source.ClipZero + item.SourceStart).ToNearestUnit(rate);

        // Sound begins and ends between frames: what rounding would take from outside the file is left out.
        long before = Math.Max(0, source.ClipZero.ToUnitCeiling(rate) - sourceIn);
        long fileEnd = (source.ClipZero + item.Clip.Duration).ToUnitFloor(rate);
        long length = Math.Min(recordOut - recordIn, fileEnd - sourceIn) - before;
        return length < 1
            ? null
            : new EdlEvent(item, source, sourceIn + before, timeline.FirstFrame + recordIn + before, length);
    }
}
