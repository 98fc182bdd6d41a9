using System.Globalization;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>
/// How a file's times are written in a list: whole frames at the timeline's rate, since a list knows no other, and as the
/// file labels them where it has timecode.
/// </summary>
/// <param name="Format">Of the labels.</param>
/// <param name="ClipZero">Clip time zero in that numbering.</param>
/// <param name="Origin">Where the numbering comes from, in words.</param>
internal sealed record EdlSource(TimecodeFormat Format, MediaTime ClipZero, string Origin)
{
    internal static EdlSource Of(Clip clip, TimelineModel timeline)
    {
        MediaNumbering own = MediaNumbering.Of(clip.Media);
        if (own.Format is not { } format || ClipRanges.FrameRate(clip, timeline.FrameRate) == timeline.FrameRate)
        {
            return new EdlSource(own.Format ?? timeline.Numbering, own.ClipZero, own.Origin);
        }

        MediaTime pictureStart = ClipRanges.Picture(clip, timeline.FrameRate).Start;
        long first = Renumber(format, own.FirstFrame, timeline.Numbering);
        return new EdlSource(
            timeline.Numbering,
            MediaTime.FromUnits(first, timeline.FrameRate) - pictureStart,
            $"{own.Origin} counted on at the list's rate");
    }

    /// <summary>
    /// The frame whose label says the same hour, minute, second and part of a second: a file at 23.976 that begins at
    /// 10:00:00:00 does so in a list at 25 too, though by real time it would be 36 s later.
    /// </summary>
    private static long Renumber(TimecodeFormat from, long frame, TimecodeFormat to)
    {
        string label = from.Format(frame);
        int part = int.Parse(label.AsSpan(9), NumberStyles.None, CultureInfo.InvariantCulture)
            * to.FramesPerSecond / from.FramesPerSecond;
        long renumbered;
        while (!to.TryParse(string.Create(CultureInfo.InvariantCulture, $"{label[..8]}:{part:00}"), out renumbered, out _))
        {
            part++; // drop-frame leaves this number out
        }

        return renumbered;
    }
}
