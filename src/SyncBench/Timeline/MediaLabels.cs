using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>Where a file's own numbering begins.</summary>
internal static class MediaLabels
{
    /// <summary>
    /// Time of the file's first frame or sample in its own numbering: its start timecode, counted at its frame rate, or
    /// its broadcast wave time reference; zero where it has neither.
    /// </summary>
    internal static MediaTime Start(MediaInfo media)
    {
        if (!media.Video.IsEmpty && media.StartTimecode is { } label)
        {
            Rate rate = media.Video[0].FrameRate;
            if (TimecodeFormat.Of(rate, label.Contains(';')).TryParse(label, out long frame))
            {
                return MediaTime.FromUnits(frame, rate);
            }
        }

        return media.TimeReference is { } samples && !media.Audio.IsEmpty
            ? MediaTime.FromUnits(samples, new Rate(media.Audio[0].SampleRateHz))
            : MediaTime.Zero;
    }
}
