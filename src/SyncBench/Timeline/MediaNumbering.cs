using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>How a file numbers its own time: what a reader finds in it, and thus what source times are told in.</summary>
/// <param name="ClipZero">Clip time zero in that numbering, as time since 00:00:00:00.</param>
/// <param name="FirstFrame">Number of the first frame, where the file has timecode.</param>
/// <param name="Format">Of the file's timecode; null where it has none.</param>
/// <param name="Origin">Where the numbering comes from, in words: "its timecode".</param>
internal sealed record MediaNumbering(MediaTime ClipZero, long FirstFrame, TimecodeFormat? Format, string Origin)
{
    /// <summary>Start timecode where there is one that exists, else broadcast wave time reference, else zero.</summary>
    internal static MediaNumbering Of(MediaInfo media)
    {
        string? problem = null;
        if (!media.Video.IsEmpty && media.StartTimecode is { } label)
        {
            if (TimecodeFormat.Standard(media.Video[0].FrameRate) is not { } rate)
            {
                problem = $"there is no timecode at {media.Video[0].FrameRate} frames a second";
            }
            else
            {
                TimecodeFormat format = TimecodeFormat.Of(rate, label.Contains(';'));
                if (format.TryParse(label, out long frame, out problem))
                {
                    MediaTime pictureStart = ClipRanges.OnClip(media, media.Video[0].Start);
                    return new MediaNumbering(
                        MediaTime.FromUnits(frame, rate) - pictureStart, frame, format, $"its timecode {label}");
                }
            }
        }

        return media.TimeReference is { } samples && !media.Audio.IsEmpty
            ? new MediaNumbering(
                MediaTime.FromUnits(samples, new Rate(media.Audio[0].SampleRateHz)), 0, null, "its time reference")
            : new MediaNumbering(
                MediaTime.Zero, 0, null, problem is null ? "zero at its start" : $"zero at its start: {problem}");
    }
}
