using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>A list and the name of its file: "WIDE.edl".</summary>
public sealed record EdlList(string FileName, string Text);

/// <summary>
/// Writes edit decision lists in the CMX 3600 layout (SMPTE ST 258, by the project's notes on it): one list for each
/// camera and one for the dialogue, cuts only, on whole frames, at most 999 events a list.
/// </summary>
/// <remarks>
/// The layout has no room for what else we know (sub-frame places, which channel, several tracks); comments carry the
/// file and the channel, and the OpenTimelineIO file carries the rest.
/// </remarks>
public static class EdlWriter
{
    private const int MostEvents = 999;
    private const int ReelLength = 8;
    private const int TitleLength = 70;

    /// <returns>A second list ("WIDE-2.edl") where one does not hold all events.</returns>
    public static IEnumerable<EdlList> Lists(TimelineModel timeline)
    {
        var names = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        foreach (TimelineTrack track in timeline.Tracks.Where(track => track.Enabled && !track.Items.IsEmpty))
        {
            string name = FileStem(track.Name);
            for (int n = 2; !names.Add(name); n++)
            {
                name = string.Create(CultureInfo.InvariantCulture, $"{FileStem(track.Name)}_{n}");
            }

            int part = 1;
            foreach (TimelineItem[] events in track.Items.Chunk(MostEvents))
            {
                string suffix = part == 1 ? string.Empty : string.Create(CultureInfo.InvariantCulture, $"-{part}");
                yield return new EdlList($"{name}{suffix}.edl", Text(timeline, track, events, suffix));
                part++;
            }
        }
    }

    private static string Text(TimelineModel timeline, TimelineTrack track, TimelineItem[] events, string suffix)
    {
        ImmutableDictionary<Clip, string> reels = Reels(events.Select(e => e.Clip).Distinct());
        var text = new StringBuilder();
        void Line(string line) => text.Append(Plain(line)).Append("\r\n");

        string title = Plain($"{timeline.Name} {track.Name}{suffix}");
        Line($"TITLE: {(title.Length > TitleLength ? title[..TitleLength] : title)}");
        Line(timeline.Numbering.DropFrame ? "FCM: DROP FRAME" : "FCM: NON-DROP FRAME");
        Line($"* COMMENT: {timeline.FrameRate} FRAMES PER SECOND, RECORD BEGINS AT {timeline.Numbering.Format(timeline.FirstFrame)}");
        foreach ((Clip clip, string reel) in reels.OrderBy(r => r.Key.File.Path, StringComparer.Ordinal))
        {
            string from = MediaLabels.Start(clip.Media) > MediaTime.Zero ? "OF THE FILE" : "FROM ZERO AT THE FILE'S START";
            Line($"* COMMENT: REEL {reel} IS {clip.File.Path}, SOURCE TIMES {from}");
        }

        for (int i = 0; i < events.Length; i++)
        {
            TimelineItem e = events[i];
            long record = timeline.FirstFrame + e.RecordRange.Start.ToNearestUnit(timeline.FrameRate);
            long length = timeline.FirstFrame + e.RecordRange.End.ToNearestUnit(timeline.FrameRate) - record;
            long source = (MediaLabels.Start(e.Clip.Media) + e.SourceStart).ToNearestUnit(timeline.FrameRate);
            string channel = e.Mic is null ? "V" : "A";
            TimecodeFormat label = timeline.Numbering;
            Line(string.Create(
                CultureInfo.InvariantCulture,
                $"{i + 1:000}  {reels[e.Clip],-ReelLength} {channel,-5} C        {label.Format(source)} {label.Format(source + length)} {label.Format(record)} {label.Format(record + length)}"));
            Line($"* FROM CLIP NAME:  {Path.GetFileNameWithoutExtension(e.Clip.File.Name)}");
            Line($"* SOURCE FILE: {e.Clip.File.Path}");
            if (e.Mic is { } mic)
            {
                Line(string.Create(
                    CultureInfo.InvariantCulture, $"* COMMENT: CHANNEL {mic.Channel + 1} ({mic.Role.InWords()}) {e.Note}"));
            }
        }

        return text.ToString();
    }

    /// <summary>Eight letters and digits for each clip, no two alike: the file's name as far as it goes.</summary>
    private static ImmutableDictionary<Clip, string> Reels(IEnumerable<Clip> clips)
    {
        var reels = ImmutableDictionary.CreateBuilder<Clip, string>();
        var taken = new HashSet<string>(StringComparer.Ordinal);
        foreach (Clip clip in clips.OrderBy(c => c.File.Path, StringComparer.Ordinal))
        {
            string name = LettersAndDigits(Path.GetFileNameWithoutExtension(clip.File.Name));
            name = name.Length == 0 ? "CLIP" : name;
            string reel = name[..Math.Min(ReelLength, name.Length)];
            for (int n = 2; !taken.Add(reel); n++)
            {
                string number = n.ToString(CultureInfo.InvariantCulture);
                reel = name[..Math.Min(ReelLength - number.Length, name.Length)] + number;
            }

            reels.Add(clip, reel);
        }

        return reels.ToImmutable();
    }

    private static string LettersAndDigits(string text) =>
        string.Concat(text.Where(char.IsAsciiLetterOrDigit)).ToUpperInvariant();

    private static string FileStem(string trackName)
    {
        string first = trackName.Split('(')[0].Trim();
        string stem = string.Concat(first.Select(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_' ? c : '_')).ToUpperInvariant();
        return stem.Length == 0 ? "TRACK" : stem;
    }

    /// <summary>Printable ASCII alone: a line break in a file's name must not make a line, and readers differ on the rest.</summary>
    private static string Plain(string text) => string.Concat(text.Select(c => c is >= ' ' and <= '~' ? c : '_'));
}
