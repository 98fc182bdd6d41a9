using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>A cut in whole frames of the timeline, or a dissolve.</summary>
/// <param name="SourceIn">In the file's numbering.</param>
/// <param name="RecordIn">In the timeline's numbering.</param>
internal sealed record EdlEvent(TimelineItem Item, EdlSource Source, long SourceIn, long RecordIn, long Length)
{
    internal long SourceOut => SourceIn + Length;

    internal long RecordOut => RecordIn + Length;

    /// <summary>What it dissolves from, over <see cref="DissolveFrames"/> from its own first frame on; null where it is cut in.</summary>
    internal EdlEvent? From { get; init; }

    internal int DissolveFrames { get; init; }

    /// <summary>Whether it only plays the end of the event before it again.</summary>
    internal bool Repeats { get; init; }

    /// <summary>Whole frames that the file still has after this event.</summary>
    internal long FramesLeft(Rate rate) => FileEnd(Item, Source, rate) - SourceOut;

    /// <returns>Null where the item is shorter than a frame.</returns>
    internal static EdlEvent? Of(TimelineItem item, EdlSource source, TimelineModel timeline)
    {
        Rate rate = timeline.FrameRate;
        long recordIn = item.RecordRange.Start.ToNearestUnit(rate), recordOut = item.RecordRange.End.ToNearestUnit(rate);
        long sourceIn = (source.ClipZero + item.SourceStart).ToNearestUnit(rate);

        // Sound begins and ends between frames: what rounding would take from outside the file is left out.
        long before = Math.Max(0, source.ClipZero.ToUnitCeiling(rate) - sourceIn);
        long length = Math.Min(recordOut - recordIn, FileEnd(item, source, rate) - sourceIn) - before;
        return length < 1
            ? null
            : new EdlEvent(item, source, sourceIn + before, timeline.FirstFrame + recordIn + before, length);
    }

    private static long FileEnd(TimelineItem item, EdlSource source, Rate rate) =>
        (source.ClipZero + item.Clip.Duration).ToUnitFloor(rate);
}
