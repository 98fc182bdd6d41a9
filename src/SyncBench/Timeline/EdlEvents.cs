using System.Collections.Immutable;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>The events of a track: what a list in whole frames can say of it.</summary>
internal static class EdlEvents
{
    /// <summary>As long as the crossfades of the dialogue files.</summary>
    private const double DissolveSeconds = 0.040;

    internal static ImmutableArray<EdlEvent> Of(TimelineTrack track, TimelineModel timeline)
    {
        var sources = new Dictionary<string, EdlSource>(StringComparer.Ordinal);
        var events = ImmutableArray.CreateBuilder<EdlEvent>();
        foreach (TimelineItem item in track.Items)
        {
            if (!sources.TryGetValue(item.Clip.File.Path, out EdlSource? source))
            {
                source = EdlSource.Of(item.Clip, timeline);
                sources.Add(item.Clip.File.Path, source);
            }

            if (EdlEvent.Of(item, source, timeline) is { } one)
            {
                EdlEvent? before = events.Count == 0 ? null : events[^1];
                if (before is not null && Repeated(before, one) is { } repeated)
                {
                    events.Add(repeated);
                }

                events.Add(before is null ? one : Dissolved(before, one, timeline.FrameRate));
            }
        }

        return events.ToImmutable();
    }

    /// <summary>
    /// Where two files of one mic meet within a frame, neither has the whole of it: the end of the first is played again
    /// so that no hole is heard.
    /// </summary>
    private static EdlEvent? Repeated(EdlEvent before, EdlEvent after)
    {
        long hole = after.RecordIn - before.RecordOut;
        return hole is 1 or 2 && hole <= before.Length && after.Item.Placement.Continues == before.Item.Clip.File
            ? before with { SourceIn = before.SourceOut - hole, RecordIn = before.RecordOut, Length = hole, From = null, Repeats = true }
            : null;
    }

    /// <summary>
    /// A change of mic dissolves where the layout has it: both are on one channel, there is no hole between them, the file
    /// that ends has sound for it, and the event that begins is long enough.
    /// </summary>
    private static EdlEvent Dissolved(EdlEvent before, EdlEvent after, Rate rate)
    {
        int frames = (int)Math.Max(1, Math.Round(DissolveSeconds * rate.PerSecond));
        bool isChange = after.Item.Mic is not null && before.Item.Clip.Device != after.Item.Clip.Device
            && before.Item.Mic!.Channel == after.Item.Mic.Channel;
        return isChange && before.RecordOut == after.RecordIn && before.FramesLeft(rate) >= frames && after.Length >= frames
            ? after with { From = before with { From = null }, DissolveFrames = frames }
            : after;
    }
}
