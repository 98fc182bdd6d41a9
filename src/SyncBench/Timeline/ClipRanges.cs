using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>Which parts of a clip hold picture and sound, on the clip's own clock.</summary>
internal static class ClipRanges
{
    /// <summary>From the first frame of the clip's picture to the end of its last whole one.</summary>
    internal static TimeRange Picture(Clip clip, Rate frameRate)
    {
        VideoStream picture = clip.Media.Video[0];
        TimeRange range = Stream(clip, picture.Start, picture.Duration);
        return range with { Duration = MediaTime.FromUnits(range.Duration.ToUnitFloor(frameRate), frameRate) };
    }

    /// <summary>
    /// The rate in which frames of a clip are counted: its own, or that of the timeline where the file states one without
    /// timecode (high speed, or the average of a variable rate, whose frames lie on no grid).
    /// </summary>
    internal static Rate FrameRate(Clip clip, Rate timelineRate) =>
        (clip.Media.Video[0].IsVariableRate ? null : TimecodeFormat.Standard(clip.Media.Video[0].FrameRate)) ?? timelineRate;

    /// <summary>What there is of the stream that holds a channel.</summary>
    internal static TimeRange Sound(Clip clip, MicChannel mic)
    {
        AudioStream sound = StreamOf(clip, mic);
        return Stream(clip, sound.Start, sound.Duration);
    }

    /// <summary>The rate in which sound of a channel is counted in its file.</summary>
    internal static Rate SampleRate(Clip clip, MicChannel mic) => new(StreamOf(clip, mic).SampleRateHz);

    /// <summary>
    /// A time of the file's presentation clock on the clip's: exact where it is the clip's first, else to the nanosecond,
    /// for the time bases of two streams and a frame rate together may not fit in one fraction.
    /// </summary>
    internal static MediaTime OnClip(MediaInfo media, MediaTime presented) =>
        MediaTime.FromSeconds((presented - media.Origin).ToSeconds());

    private static AudioStream StreamOf(Clip clip, MicChannel mic)
    {
        int channels = 0;
        return clip.Media.Audio.First(stream => (channels += stream.Channels) > mic.Channel);
    }

    /// <summary>Where a container does not say how long a stream is, it ends with the file.</summary>
    private static TimeRange Stream(Clip clip, MediaTime start, MediaTime duration)
    {
        MediaTime onClip = OnClip(clip.Media, start);
        MediaTime end = duration > MediaTime.Zero ? onClip + duration : clip.Duration;
        return TimeRange.Between(onClip, end).Intersect(new TimeRange(MediaTime.Zero, clip.Duration));
    }
}
