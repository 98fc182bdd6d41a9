using SyncBench.Media;

namespace SyncBench.Reporting;

/// <summary>What a file is, for programs, in the words of sync.json.</summary>
public static class MediaJson
{
    public static object Of(MediaInfo media) => new
    {
        media.Format,
        DurationS = Figures.Seconds(media.Duration),
        OriginInFileS = Figures.Seconds(media.Origin),
        media.StartTimecode,
        media.TimeReference,
        media.CreatedAt,
        media.MadeBy,
        media.Reel,
        media.Damage,
        Video = media.Video.Select(Of),
        Audio = media.Audio.Select(Of),
    };

    internal static object Of(VideoStream video) => new
    {
        video.Codec,
        video.Width,
        video.Height,
        FrameRate = video.FrameRate.ToString(),
        video.IsVariableRate,
        video.IsInterlaced,
        StartInFileS = Figures.Seconds(video.Start),
        DurationS = Figures.Seconds(video.Duration),
    };

    internal static object Of(AudioStream audio) => new
    {
        audio.Codec,
        audio.SampleRateHz,
        audio.Channels,
        audio.Layout,
        audio.Name,
        StartInFileS = Figures.Seconds(audio.Start),
        DurationS = Figures.Seconds(audio.Duration),
    };
}
