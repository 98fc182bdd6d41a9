using System.Collections.Immutable;
using System.Diagnostics;
using System.Globalization;

namespace SyncBench.Media;

/// <summary>One frame of a clip as a small JPEG.</summary>
internal static class Frame
{
    private const int Width = 160;

    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(20);

    /// <returns>Empty where none could be decoded in time: a picture is a help and never a reason to fail.</returns>
    internal static async Task<ImmutableArray<byte>> FromTheMiddleAsync(MediaInfo media, CancellationToken cancellation)
    {
        string middle = (media.Duration.ToSeconds() / 2).ToString("0.###", CultureInfo.InvariantCulture);
        using Process decoder = Ffmpeg.Decode(
            media,
            ["-map", "0:v:0", "-frames:v", "1", "-vf", $"scale={Width}:-2", "-pix_fmt", "yuvj420p", "-q:v", "6", "-f", "mjpeg", "pipe:1"],
            media.IsStill ? null : middle);
        using var patience = CancellationTokenSource.CreateLinkedTokenSource(cancellation);
        patience.CancelAfter(Patience);
        try
        {
            Task<string> complaints = Ffmpeg.ComplaintsAsync(decoder, CancellationToken.None);
            using var picture = new MemoryStream();
            await using (patience.Token.Register(() => Ffmpeg.End(decoder)))
            {
                await decoder.StandardOutput.BaseStream.CopyToAsync(picture, patience.Token);
                await complaints;
            }

            return [.. picture.ToArray()];
        }
        catch (OperationCanceledException) when (!cancellation.IsCancellationRequested)
        {
            return [];
        }
        finally
        {
            Ffmpeg.End(decoder);
        }
    }
}
