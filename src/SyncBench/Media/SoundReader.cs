using System.Diagnostics;
using System.Globalization;
using System.Runtime.InteropServices;
using SyncBench.Time;

namespace SyncBench.Media;

/// <summary>How reading a clip's sound ended.</summary>
/// <param name="Heard">How much sound was delivered, from clip time zero.</param>
/// <param name="Problem">What broke off or was damaged, in the reader's words; null where all went well.</param>
public sealed record SoundReading(MediaTime Heard, string? Problem);

/// <summary>
/// Reads all sound of a file once, through one ffmpeg process and one pipe, and feeds every listener. Whole files of plain
/// samples need no decoder.
/// </summary>
/// <remarks>
/// Presentation times decide what sample 0 is. ffmpeg's decoder drops encoder priming as the edit list or the codec
/// delay asks; what it then delivers first stands at the stream's start time, which is up to a second or more after
/// clip time zero in files whose sound starts late, so that much silence is put in front.
/// </remarks>
public static class SoundReader
{
    private const int ReadBytes = 1 << 18;

    /// <param name="until">What lies behind this clip time need not be read; null for all.</param>
    /// <exception cref="IOException">The file could not be opened, or the decoder not be run at all.</exception>
    public static async Task<SoundReading> ReadAsync(
        MediaInfo media,
        IReadOnlyList<ISoundListener> listeners,
        IProgress<MediaTime>? progress,
        CancellationToken cancellation,
        MediaTime? until = null)
    {
        int rate = media.Audio.Max(stream => stream.SampleRateHz);
        var feed = new SoundFeed(rate, media.Channels, listeners);
        long lead = (FirstSample(media) - media.Origin).ToNearestUnit(new Rate(rate));
        feed.Silence(Math.Max(0, lead));
        long samplesToDrop = Math.Max(0, -lead);

        string? problem = WaveSound.Of(media) is { } wave
            ? await Task.Run(() => Copy(wave, feed, progress, until, cancellation), cancellation)
            : await DecodeAsync(media, OutputArguments(media, rate), feed, samplesToDrop, progress, until, cancellation);
        feed.Finish();
        return new SoundReading(feed.Fed, problem);
    }

    private static string? Copy(
        WaveSound wave, SoundFeed feed, IProgress<MediaTime>? progress, MediaTime? until, CancellationToken cancellation)
    {
        try
        {
            bool isWhole = wave.Read(samples =>
            {
                cancellation.ThrowIfCancellationRequested();
                feed.Interleaved(samples);
                progress?.Report(feed.Fed);
                return !(feed.Fed >= until);
            });
            return isWhole ? null : "The file became shorter while it was read: do not change a dump while it is worked on, then run again.";
        }
        catch (IOException broken)
        {
            return $"Part of the sound could not be read ({broken.Message}): check the disk, and listen to this clip before the card is wiped.";
        }
    }

    private static async Task<string?> DecodeAsync(
        MediaInfo media, IEnumerable<string> arguments, SoundFeed feed, long samplesToDrop, IProgress<MediaTime>? progress,
        MediaTime? until, CancellationToken cancellation)
    {
        using Process decoder = Ffmpeg.Decode(media, arguments);
        Task<string> error = Ffmpeg.ComplaintsAsync(decoder, CancellationToken.None);
        using var stall = CancellationTokenSource.CreateLinkedTokenSource(cancellation);
        bool isWhole;
        try
        {
            // A read that waits can only be ended from the other end of the pipe.
            await using (stall.Token.Register(() => Ffmpeg.End(decoder)))
            {
                isWhole = await Task.Factory.StartNew(
                    () => Pump(decoder.StandardOutput.BaseStream, feed, samplesToDrop, progress, until, stall),
                    CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
                if (isWhole)
                {
                    await decoder.WaitForExitAsync(CancellationToken.None);
                }
            }
        }
        finally
        {
            Ffmpeg.End(decoder);
        }

        cancellation.ThrowIfCancellationRequested();
        if (stall.IsCancellationRequested)
        {
            return "Decoding stood still for a minute: check the disk, then run again.";
        }

        string complaint = isWhole ? Ffmpeg.Complaint(await error, media.File.FullPath) : string.Empty;
        return isWhole && (decoder.ExitCode != 0 || complaint.Length > 0)
            ? $"Part of the sound could not be decoded ({complaint}): listen to this clip before the card is wiped."
            : null;
    }

    /// <summary>Several streams are merged on time lines padded from presentation time zero, one alone is not.</summary>
    private static MediaTime FirstSample(MediaInfo media) =>
        media.Audio.Length == 1 ? media.Audio[0].Start : MediaTime.Zero;

    private static IEnumerable<string> OutputArguments(MediaInfo media, int rate)
    {
        // Not a write for each packet of the codec, but for each full buffer: a quarter of them.
        string[] raw = ["-f", "f32le", "-c:a", "pcm_f32le", "-flush_packets", "0", "pipe:1"];
        if (media.Audio.Length == 1)
        {
            return ["-map", $"0:{media.Audio[0].Index}", "-vn", "-sn", "-dn", .. raw];
        }

        // The merge ends with its shortest input and needs layouts that have a name; one channel often has none.
        string length = (media.Origin + media.Duration).ToSeconds().ToString("0.000000", CultureInfo.InvariantCulture);
        string padded = string.Concat(media.Audio.Select((stream, i) =>
            $"[0:{stream.Index}]aresample={rate}:async=1:first_pts=0{NamedLayout(stream)},apad=whole_dur={length}[s{i}];"));
        string inputs = string.Concat(Enumerable.Range(0, media.Audio.Length).Select(i => $"[s{i}]"));
        return
        [
            "-filter_complex", $"{padded}{inputs}amerge=inputs={media.Audio.Length}[all]",
            "-map", "[all]", "-vn", "-sn", "-dn", .. raw,
        ];
    }

    private static string NamedLayout(AudioStream stream) => stream.Channels switch
    {
        1 => ",aformat=channel_layouts=mono",
        2 => ",aformat=channel_layouts=stereo",
        _ => string.Empty,
    };

    /// <summary>
    /// Waits in plain reads on a thread of its own: a wake-up by the framework's event loop for each piece that the
    /// decoder writes costs as much as decoding it.
    /// </summary>
    /// <returns>Whether all of it was read.</returns>
    private static bool Pump(
        Stream pipe, SoundFeed feed, long samplesToDrop, IProgress<MediaTime>? progress, MediaTime? until,
        CancellationTokenSource stall)
    {
        int frameBytes = feed.Channels * sizeof(float);
        byte[] buffer = new byte[ReadBytes / frameBytes * frameBytes];
        int held = 0;
        long bytesToDrop = samplesToDrop * frameBytes;
        while (true)
        {
            stall.CancelAfter(Ffmpeg.StallLimit);
            int read = pipe.Read(buffer.AsSpan(held));
            held += read;
            if (read > 0 && held < buffer.Length)
            {
                continue;
            }

            int whole = held / frameBytes * frameBytes;
            int drop = (int)Math.Min(bytesToDrop, whole);
            bytesToDrop -= drop;
            feed.Interleaved(MemoryMarshal.Cast<byte, float>(buffer.AsSpan(drop, whole - drop)));
            progress?.Report(feed.Fed);
            held = 0;
            if (read == 0 || feed.Fed >= until)
            {
                stall.CancelAfter(Ffmpeg.StallLimit); // for what is left: the decoder's own end
                return read == 0;
            }
        }
    }
}
