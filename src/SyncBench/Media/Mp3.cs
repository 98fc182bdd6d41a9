using System.Collections.Immutable;
using System.Runtime.InteropServices;
using FFMpegCore;
using FFMpegCore.Exceptions;
using FFMpegCore.Pipes;

namespace SyncBench.Media;

/// <summary>A few seconds of sound as a browser plays them, small enough to lie inside a page.</summary>
internal static class Mp3
{
    private const int Kilobits = 64;

    /// <param name="stereo">Left and right in turn, full scale ±1.</param>
    /// <returns>Empty where this machine's ffmpeg has no such encoder: a player is a help and never a reason to fail.</returns>
    internal static async Task<ImmutableArray<byte>> OfAsync(float[] stereo, int rateHz)
    {
        using var raw = new MemoryStream(MemoryMarshal.AsBytes(stereo.AsSpan()).ToArray());
        using var made = new MemoryStream();
        try
        {
            await FFMpegArguments
                .FromPipeInput(new StreamPipeSource(raw), options => options.ForceFormat("f32le").WithCustomArgument($"-ar {rateHz} -ac 2"))
                .OutputToPipe(new StreamPipeSink(made), options => options.WithAudioCodec("libmp3lame").WithAudioBitrate(Kilobits).ForceFormat("mp3"))
                .ProcessAsynchronously();
            return [.. made.ToArray()];
        }
        catch (FFMpegException)
        {
            return [];
        }
    }
}
