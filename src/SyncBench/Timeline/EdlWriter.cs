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
/// the dialogue, on whole frames, at most 999 events a list.
/// </summary>
/// <remarks>
/// What the layout has no room for is listed at the head of each list; the OpenTimelineIO file carries it. The channel
/// column names the channel of the file (A to A4), as the layout plays a source's tracks.
/// </remarks>
public static class EdlWriter
{
    private const int MostEvents = 999;
    private const int TitleLength = 70;

    private static readonly string[] NotHeldOfPicture =
    [
        "FURTHER TRACKS, MARKERS AND THEIR COMMENTS", "FRAME RATES OF FILES THAT RUN AT ANOTHER THAN THE LIST",
        "LENGTH OF THE FILES, CLOCK RATES, CERTAINTY",
    ];

    private static readonly string[] NotHeldOfSound =
    [
        "PLACES BETWEEN FRAMES: SOUND MAY BE HALF A FRAME OFF", "CHANNELS ABOVE 4: THEY STAND AS A, WITH A COMMENT",
        "MICS THAT WERE NOT CHOSEN, FAULTS, GAIN", "CROSSFADES BETWEEN TWO CHANNELS OR SHORTER THAN A FRAME",
        "LENGTH OF THE FILES, CLOCK RATES, CERTAINTY",
    ];

    /// <returns>A second list ("WIDE-2.edl") where one does not hold all events.</returns>
    public static IEnumerable<EdlList> Lists(TimelineModel timeline)
    {
        var reels = new EdlReels(timeline);
        var names = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        foreach (TimelineTrack track in timeline.Tracks.Where(track => track.Enabled))
        {
            int part = 1;
            foreach (EdlEvent[] events in EdlEvents.Of(track, timeline).Chunk(MostEvents))
            {
                string ending = part == 1 ? string.Empty : string.Create(CultureInfo.InvariantCulture, $"-{part}");
                yield return new EdlList(FileName(track, ending, names), Text(timeline, track, ending, events, reels));
                part++;
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
        foreach (string lost in track.Kind == TrackKind.Sound ? NotHeldOfSound : NotHeldOfPicture)
        {
            Comment($"NOT HELD BY THIS LAYOUT, SEE timeline.otio: {lost}");
        }

        foreach (EdlEvent first in events.SelectMany(e => e.From is { } from ? [from, e] : new[] { e }).DistinctBy(e => e.Item.Clip.File.Path))
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
            TimelineItem item = events[i].Item;
            foreach (string line in Event(i + 1, events[i], reels, timeline))
            {
                Line(line);
            }

            if (item.Mic is { } mic)
            {
                Comment(string.Create(CultureInfo.InvariantCulture, $"CHANNEL {mic.Channel + 1}, {mic.Role.InWords()}"));
                Comment(events[i].Repeats ? "REPEATED: THE FILE ENDS WITHIN A FRAME" : $"REASON: {item.Note}");
            }
        }

        return text.ToString();
    }

    /// <summary>
    /// Columns from 1: event 1-3, reel 6-13, channel 15-19, transition 21-24, its length 26-28 (blank for a cut), source in
    /// 30-40, source out 42-52, record in 54-64, record out 66-76. Ends are exclusive. A dissolve has two lines: where the
    /// old source stands, without length, and the new one.
    /// </summary>
    private static IEnumerable<string> Event(int number, EdlEvent one, EdlReels reels, TimelineModel timeline)
    {
        string Line(EdlEvent of, string channel, string transition, string length, long sourceIn, long sourceOut, long recordIn, long recordOut)
        {
            TimecodeFormat source = of.Source.Format, record = timeline.Numbering;
            return string.Create(
                CultureInfo.InvariantCulture,
                $"{number:000}  {reels[of.Item.Clip.File],-EdlReels.Length} {channel,-5} {transition,-4} {length,3} {source.Format(sourceIn)} {source.Format(sourceOut)} {record.Format(recordIn)} {record.Format(recordOut)}");
        }

        string channel = Channel(one.Item.Mic), name = ClipName(one.Item);
        if (one.From is { } from)
        {
            yield return Line(from, channel, "C", string.Empty, from.SourceOut, from.SourceOut, one.RecordIn, one.RecordIn);
            string frames = one.DissolveFrames.ToString("000", CultureInfo.InvariantCulture);
            yield return Line(one, channel, "D", frames, one.SourceIn, one.SourceOut, one.RecordIn, one.RecordOut);
            yield return $"* FROM CLIP NAME:  {ClipName(from.Item)}";
            yield return $"* TO CLIP NAME:  {name}";
        }
        else
        {
            yield return Line(one, channel, "C", string.Empty, one.SourceIn, one.SourceOut, one.RecordIn, one.RecordOut);
            yield return $"* FROM CLIP NAME:  {name}";
        }

        yield return $"* SOURCE FILE: {one.Item.Clip.File.Path}";
    }

    private static string ClipName(TimelineItem item) => Path.GetFileNameWithoutExtension(item.Clip.File.Name);

    /// <summary>The layout has four channels of sound; a higher one stands in a comment alone.</summary>
    private static string Channel(MicChannel? mic) => mic?.Channel switch
    {
        null => "V",
        1 => "A2",
        2 => "A3",
        3 => "A4",
        _ => "A",
    };

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
