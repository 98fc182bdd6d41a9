using System.Collections.Immutable;
using System.Diagnostics;
using System.Globalization;
using System.Runtime.InteropServices;

namespace SyncBench.Media;

/// <summary>A few seconds of sound as a browser plays them, small enough to lie inside a page.</summary>
internal static class Mp3
{
    /// <param name="stereo">Left and right in turn, full scale ±1.</param>
    /// <returns>Empty where this machine's ffmpeg has no such encoder.</returns>
    internal static async Task<ImmutableArray<byte>> OfAsync(float[] stereo, int rateHz, CancellationToken cancellation)
    {
        using Process encoder = Ffmpeg.Encode(
            ["-f", "f32le", "-ar", rateHz.ToString(CultureInfo.InvariantCulture), "-ac", "2"],
            ["-c:a", "libmp3lame", "-b:a", "64k", "-f", "mp3", "pipe:1"]);
        return await Ffmpeg.SmallOutputAsync(encoder, MemoryMarshal.AsBytes(stereo.AsSpan()).ToArray(), cancellation);
    }
}
