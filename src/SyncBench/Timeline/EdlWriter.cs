using System.Globalization;
using System.Text;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>A list and the name of its file: "WIDE.edl".</summary>
/// <param name="Text">ASCII; lines end with CR LF.</param>
public sealed record EdlList(string FileName, string Text);

/// <summary>
/// Writes edit decision lists in the CMX 3600 layout (SMPTE ST 258, by notes on it): one list for each camera and one for
/// the dialogue, cuts only, on whole frames, at most 999 events a list.
/// </summary>
/// <remarks>
/// The layout has no room for what else we know (places between frames, which channel, several tracks); comments carry
/// the file and the channel, and the OpenTimelineIO file carries the rest.
/// </remarks>
public static class EdlWriter
{
    private const int MostEvents = 999;
    private const int TitleLength = 70;

    /// <returns>A second list ("WIDE-2.edl") where one does not hold all events.</returns>
    public static IEnumerable<EdlList> Lists(TimelineModel timeline)
    {
        var reels = new EdlReels(timeline);
        var names = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        foreach (TimelineTrack track in timeline.Tracks.Where(track => track.Enabled))
        {
            int part = 1;
            foreach (EdlEvent[] events in Events(track, timeline).Chunk(MostEvents))
            {
                string ending = part == 1 ? string.Empty : string.Create(CultureInfo.InvariantCulture, $"-{part}");
                yield return new EdlList(FileName(track, ending, names), Text(timeline, track, ending, events, reels));
                part++;
            }
        }
    }

    private static IEnumerable<EdlEvent> Events(TimelineTrack track, TimelineModel timeline)
    {
        var sources = new Dictionary<string, EdlSource>(StringComparer.Ordinal);
        foreach (TimelineItem item in track.Items)
        {
            if (!sources.TryGetValue(item.Clip.File.Path, out EdlSource? source))
            {
                source = EdlSource.Of(item.Clip, timeline);
                sources.Add(item.Clip.File.Path, source);
            }

            if (EdlEvent.Of(item, source, timeline) is { } one)
            {
                yield return one;
            }
        }
    }

    private static string Text(
        TimelineModel timeline, TimelineTrack track, string ending, EdlEvent[] events, EdlReels reels)
    {
        var text = new StringBuilder();
        void Line(string line) => text.Append(EdlText.Plain(line)).Append("\r\n");
        void Comment(string comment) => Line($"* COMMENT: {comment}");
        string Label(MediaTime time) => timeline.Numbering.Format(timeline.FirstFrame + time.ToNearestUnit(timeline.FrameRate));

        text.Append("TITLE: ").Append(Title(timeline, track, ending)).Append("\r\n");
        Line(timeline.Numbering.DropFrame ? "FCM: DROP FRAME" : "FCM: NON-DROP FRAME");
        Comment($"{timeline.FrameRate} FRAMES PER SECOND, FIRST FRAME {timeline.Numbering.Format(timeline.FirstFrame)}");
        if (track.Kind == TrackKind.Sound)
        {
            Comment("SOUND IS ROUNDED TO WHOLE FRAMES HERE; THE OPENTIMELINEIO FILE HAS IT TO THE SAMPLE");
        }

        foreach (EdlEvent first in events.DistinctBy(e => e.Item.Clip.File.Path))
        {
            MediaFile file = first.Item.Clip.File;
            Comment($"REEL {reels[file]} IS {file.Path}, SOURCE TIMES COUNT FROM {first.Source.Origin}");
        }

        foreach (TimelineMarker marker in ending.Length == 0 ? track.Markers : [])
        {
            Comment($"{marker.Name.ToUpperInvariant()} FROM {Label(marker.RecordRange.Start)} TO {Label(marker.RecordRange.End)}");
        }

        for (int i = 0; i < events.Length; i++)
        {
            Line(Cut(i + 1, events[i], reels, timeline));
            TimelineItem item = events[i].Item;
            Line($"* FROM CLIP NAME:  {Path.GetFileNameWithoutExtension(item.Clip.File.Name)}");
            Line($"* SOURCE FILE: {item.Clip.File.Path}");
            if (item.Mic is { } mic)
            {
                Comment(string.Create(CultureInfo.InvariantCulture, $"CHANNEL {mic.Channel + 1}, {mic.Role.InWords()}"));
                Comment($"REASON: {item.Note}");
            }
        }

        return text.ToString();
    }

    /// <summary>
    /// Columns from 1: event 1-3, reel 6-13, channel 15-19, transition 21-24, its length 26-28 (blank for a cut), source in
    /// 30-40, source out 42-52, record in 54-64, record out 66-76. Ends are exclusive.
    /// </summary>
    private static string Cut(int number, EdlEvent cut, EdlReels reels, TimelineModel timeline)
    {
        string reel = reels[cut.Item.Clip.File];
        string channel = cut.Item.Mic is null ? "V" : "A";
        string sourceIn = cut.Source.Format.Format(cut.SourceIn);
        string sourceOut = cut.Source.Format.Format(cut.SourceIn + cut.Length);
        string recordIn = timeline.Numbering.Format(cut.RecordIn);
        string recordOut = timeline.Numbering.Format(cut.RecordIn + cut.Length);
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{number:000}  {reel,-EdlReels.Length} {channel,-5} C        {sourceIn} {sourceOut} {recordIn} {recordOut}");
    }

    /// <summary>Plain; what tells lists apart is kept where a title is too long.</summary>
    private static string Title(TimelineModel timeline, TimelineTrack track, string ending)
    {
        string name = EdlText.Plain(timeline.Name), what = EdlText.Plain($" {track.Name}{ending}");
        what = what[..Math.Min(what.Length, TitleLength)];
        return name[..Math.Min(name.Length, TitleLength - what.Length)] + what;
    }

    /// <summary>The angle in capitals: what stands before the device in the track's name.</summary>
    private static string FileName(TimelineTrack track, string ending, HashSet<string> taken)
    {
        string angle = track.Name.Split('(')[0].Trim();
        string stem = string.Concat(angle.Select(c => char.IsAsciiLetterOrDigit(c) ? char.ToUpperInvariant(c) : '_'));
        stem = stem.Length == 0 ? "TRACK" : stem;
        string name = $"{stem}{ending}.edl";
        for (int n = 2; !taken.Add(name); n++)
        {
            name = string.Create(CultureInfo.InvariantCulture, $"{stem}_{n}{ending}.edl");
        }

        return name;
    }
}
