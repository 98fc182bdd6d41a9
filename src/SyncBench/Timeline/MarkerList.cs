using System.Globalization;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>
/// Writes answers, questions and faults as WebVTT (W3C), which players show as captions: for the whole timeline, or for a
/// stretch of it that has a file of its own.
/// </summary>
public static class MarkerList
{
    /// <param name="range">On the timeline; times of the list count from its start.</param>
    /// <param name="zero">What lies at that start, in words.</param>
    public static void Write(TextWriter output, TimelineModel timeline, TimeRange range, string zero)
    {
        output.Write($"WEBVTT - markers of {Plain(timeline.Name)}\n\nNOTE\nTimes count from {Plain(zero)}.\n");
        IEnumerable<TimelineMarker> markers = timeline.Markers.Where(marker => marker.Kind != MarkerKind.MicChange)
            .Concat(timeline.Tracks.SelectMany(track => track.Markers))
            .OrderBy(marker => marker.RecordRange.Start);
        foreach (TimelineMarker marker in markers)
        {
            TimeRange shown = marker.RecordRange.Intersect(range);
            string from = Label(shown.Start - range.Start), to = Label(shown.End - range.Start);
            if (!shown.IsEmpty && from != to)
            {
                output.Write($"\n{from} --> {to}\n{Plain(marker.Name)} ({Plain(marker.Comment)})\n");
            }
        }
    }

    /// <summary>hh:mm:ss.ttt; hours may have more digits.</summary>
    private static string Label(MediaTime time)
    {
        long milliseconds = time.ToNearestUnit(new Rate(1000));
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{milliseconds / 3_600_000:00}:{milliseconds / 60_000 % 60:00}:{milliseconds / 1000 % 60:00}.{milliseconds % 1000:000}");
    }

    /// <summary>A file's name may hold what would end a cue or begin a tag.</summary>
    private static string Plain(string text) => string.Concat(text.Select(c => char.IsControl(c) ? ' ' : c))
        .Replace("&", "&amp;", StringComparison.Ordinal)
        .Replace("<", "&lt;", StringComparison.Ordinal)
        .Replace(">", "&gt;", StringComparison.Ordinal);
}
