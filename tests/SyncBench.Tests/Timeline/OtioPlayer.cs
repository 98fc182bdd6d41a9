using System.Globalization;
using System.Runtime.InteropServices;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Timeline;

/// <summary>
/// Plays a track of sound by what stands in a timeline file alone: links, ranges, speed, and the channel from our metadata.
/// ffmpeg decodes; nothing of the program is used.
/// </summary>
/// <param name="folder">Of the timeline file: links are relative to it.</param>
internal sealed class OtioPlayer(OtioReader file, string folder)
{
    private const int RateHz = 48_000;

    private readonly Dictionary<(string Url, int Channel), float[]> _decoded = [];

    internal async Task<float[]> PlayAsync(string trackName)
    {
        OtioTrack track = file.Tracks.Single(track => track.Name == trackName);
        var sound = new float[(int)(track.Duration * RateHz)];
        foreach (OtioItem clip in track.Clips)
        {
            float[] source = await DecodeAsync(clip.Url!, clip.Ours.GetProperty("channel").GetInt32());
            int at = (int)decimal.Round(clip.At * RateHz), length = (int)decimal.Round(clip.Source.Duration * RateHz);
            for (int n = 0; n < length; n++)
            {
                double from = (double)clip.FileTime((decimal)n / RateHz) * RateHz;
                sound[at + n] = source[Math.Clamp((int)Math.Round(from), 0, source.Length - 1)];
            }
        }

        return sound;
    }

    /// <summary>
    /// How much later the second sounds, in milliseconds, in windows of two seconds spread over all of the first in which it
    /// is heard; up to 25 ms either way.
    /// </summary>
    internal static IEnumerable<double> Lags(float[] first, float[] second, int firstSample, int most)
    {
        const int Window = 2 * RateHz, Reach = RateHz / 40;
        int last = Math.Min(first.Length, second.Length) - Window - Reach, step = Math.Max(Window, (last - firstSample) / most);
        for (int at = firstSample + Reach; at < last; at += step)
        {
            if (Math.Sqrt(Correlation(first.AsSpan(at, Window), first.AsSpan(at, Window)) / Window) > 0.003)
            {
                double[] sums = [.. Enumerable.Range(-Reach, (2 * Reach) + 1).Select(lag => Correlation(first.AsSpan(at, Window), second.AsSpan(at + lag, Window)))];
                yield return (Array.IndexOf(sums, sums.Max()) - Reach) * 1000.0 / RateHz;
            }
        }
    }

    internal static async Task<float[]> SamplesAsync(string path, int channel)
    {
        using var scratch = new TemporaryFolder();
        await Tool.RunAsync(
            "ffmpeg", "-v", "error", "-i", path, "-map", "0:a:0", "-af",
            string.Create(CultureInfo.InvariantCulture, $"aresample={RateHz}:async=1:first_pts=0,pan=mono|c0=c{channel - 1}"),
            "-f", "f32le", scratch.File("sound.raw"));
        return MemoryMarshal.Cast<byte, float>(await File.ReadAllBytesAsync(scratch.File("sound.raw"))).ToArray();
    }

    private static double Correlation(ReadOnlySpan<float> left, ReadOnlySpan<float> right) =>
        System.Numerics.Tensors.TensorPrimitives.Dot(left, right);

    private async Task<float[]> DecodeAsync(string url, int channel)
    {
        if (!_decoded.TryGetValue((url, channel), out float[]? sound))
        {
            var resolved = new Uri(new Uri("file://" + folder + "/"), url);
            _decoded[(url, channel)] = sound = await SamplesAsync(Uri.UnescapeDataString(resolved.AbsolutePath), channel);
        }

        return sound;
    }
}
