using System.Collections.Immutable;
using System.Diagnostics;
using System.Globalization;

namespace SyncBench.Media;

/// <summary>One frame of a clip as a small JPEG.</summary>
internal static class Frame
{
    private const int Width = 160;

    /// <returns>Empty where none could be decoded in time.</returns>
    internal static async Task<ImmutableArray<byte>> FromTheMiddleAsync(MediaInfo media, CancellationToken cancellation)
    {
        string middle = (media.Duration.ToSeconds() / 2).ToString("0.###", CultureInfo.InvariantCulture);
        using Process decoder = Ffmpeg.Decode(
            media,
            ["-map", "0:v:0", "-frames:v", "1", "-vf", $"scale={Width}:-2", "-pix_fmt", "yuvj420p", "-q:v", "6", "-f", "mjpeg", "pipe:1"],
            media.IsStill ? null : middle);
        return await Ffmpeg.SmallOutputAsync(decoder, input: null, cancellation);
    }
}
