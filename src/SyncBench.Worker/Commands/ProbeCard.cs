using System.Globalization;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Worker.Commands;

/// <summary>What a file is, on a few lines for a person.</summary>
internal static class ProbeCard
{
    private static readonly CultureInfo Plain = CultureInfo.InvariantCulture;

    internal static string Of(MediaInfo media)
    {
        string length = TimeSpan.FromMilliseconds(Math.Round(media.Duration.ToMilliseconds())).ToString(@"h\:mm\:ss\.fff", Plain);
        var lines = new List<string>
        {
            media.File.Path,
            Line("container", string.Create(Plain, $"{string.Join(" or ", media.Format.Split(',').Take(2))}, {media.File.Bytes / 1e6:0.0} MB")),
        };
        if (!media.IsStill)
        {
            lines.Add(Line("length", string.Create(Plain, $"{length} ({media.Duration.ToSeconds():0.000} s)")));
        }

        lines.AddRange(media.Video.Select(video => Line("picture", Picture(video) + Start(video.Start, media))));
        lines.AddRange(media.Audio.Select(audio => Line("sound", Sound(audio) + Start(audio.Start, media))));
        string?[] more =
        [
            media.MadeBy is { } maker ? Line("made by", maker + (media.Reel is { } reel ? $", reel {reel}" : string.Empty)) : null,
            media.StartTimecode is { } timecode ? Line("timecode", timecode) : null,
            media.TimeReference is { } reference ? Line("reference", string.Create(Plain, $"{reference} samples since midnight")) : null,
            media.CreatedAt is { } created ? Line("made", string.Create(Plain, $"{created:yyyy-MM-dd HH:mm:ss zzz}")) : null,
            media.Damage is { } damage ? Line("damage", damage) : null,
        ];
        return string.Join('\n', lines.Concat(more.OfType<string>())) + "\n";
    }

    internal static string OfUnreadable(MediaFile file, string? problem) => $"{file.Path}\n{Line("unreadable", problem ?? string.Empty)}\n";

    private static string Line(string name, string what) => $"  {name,-11} {what.ReplaceLineEndings(" ")}";

    private static string Picture(VideoStream video) =>
        $"{video.Codec}, {video.Width} × {video.Height}, {Fps(video.FrameRate)}"
        + (video.IsVariableRate ? " on the mean, variable" : string.Empty) + (video.IsInterlaced ? ", interlaced" : string.Empty);

    private static string Fps(Rate rate) => rate.Denominator == 1
        ? string.Create(Plain, $"{rate.Numerator} fps")
        : string.Create(Plain, $"{rate.PerSecond:0.###} fps ({rate})");

    private static string Sound(AudioStream audio) => string.Create(
        Plain, $"{audio.Codec}, {audio.SampleRateHz / 1000.0:0.###} kHz, {audio.Layout ?? (audio.Channels == 1 ? "1 channel" : $"{audio.Channels} channels")}")
        + (audio.Name is { } name ? $", named \"{name}\"" : string.Empty);

    /// <summary>Only where it is not with the file's first frame or sample.</summary>
    private static string Start(MediaTime start, MediaInfo media) => start == media.Origin
        ? string.Empty : string.Create(Plain, $", starts {(start - media.Origin).ToMilliseconds():0.###} ms into the file");
}
