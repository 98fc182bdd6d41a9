using System.Collections.Immutable;
using System.Diagnostics;
using System.Text;
using FFMpegCore;

namespace SyncBench.Media;

/// <summary>
/// Starts ffmpeg and ffprobe on files that are not trusted: an argument list instead of a shell, only plain files
/// and pipes, only demuxers of recordings (no playlists, nothing that opens other files), no standard input.
/// </summary>
internal static class Ffmpeg
{
    /// <summary>Longest time in which a running tool may show no progress.</summary>
    internal static readonly TimeSpan StallLimit = TimeSpan.FromSeconds(60);

    /// <summary>ffprobe says about 3 KB of a stream; a file that makes it say more than this is not described but flooded.</summary>
    internal const int MostDescription = 1 << 22;

    /// <summary>The first sentences of a complaint tell what is wrong; a damaged hour repeats them without end.</summary>
    private const int MostComplaint = 1 << 14;

    /// <summary>A frame or a few seconds of sound take a moment; on a machine that is busy, seconds.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(20);

    /// <summary>Containers of cameras, phones and recorders, and single pictures; names as ffmpeg lists them.</summary>
    private const string Demuxers =
        "mov,wav,w64,mxf,matroska,avi,mpegts,mpeg,aiff,caf,flac,ogg,mp3,aac,ac3,dv,asf,flv,gxf," +
        "jpeg_pipe,png_pipe,tiff_pipe,bmp_pipe,webp_pipe,dpx_pipe,exr_pipe";

    /// <param name="fromS">Seconds to skip before decoding begins; null for none.</param>
    internal static Process Decode(MediaInfo media, IEnumerable<string> outputArguments, string? fromS = null) => Start(
        GlobalFFOptions.GetFFMpegBinaryPath(),
        [
            "-nostdin", "-hide_banner", "-v", "error", .. media.ReadsToEnd ? ["-ignore_length", "1"] : Array.Empty<string>(),
            .. fromS is null ? Array.Empty<string>() : ["-ss", fromS],
            .. Input(media.File.FullPath), .. outputArguments,
        ]).WithoutInput();

    /// <summary>Makes something of samples of our own, which it takes from its standard input.</summary>
    /// <param name="inputArguments">What the samples are.</param>
    internal static Process Encode(IEnumerable<string> inputArguments, IEnumerable<string> outputArguments) => Start(
        GlobalFFOptions.GetFFMpegBinaryPath(),
        [
            "-nostdin", "-hide_banner", "-v", "error", "-protocol_whitelist", "pipe", .. inputArguments, "-i", "pipe:0", .. outputArguments,
        ]);

    internal static Process Probe(string fullPath) => Start(
        GlobalFFOptions.GetFFProbeBinaryPath(),
        ["-v", "error", "-print_format", "json", "-show_format", "-show_streams", .. Input(fullPath)]).WithoutInput();

    /// <summary>All that the tool writes: a picture or a player for the report.</summary>
    /// <param name="input">What it is fed with; null where it reads a file.</param>
    /// <returns>Empty where it fails or takes too long: what it makes is a help, and never a reason to fail.</returns>
    internal static async Task<ImmutableArray<byte>> SmallOutputAsync(
        Process tool, ReadOnlyMemory<byte>? input, CancellationToken cancellation)
    {
        using var patience = CancellationTokenSource.CreateLinkedTokenSource(cancellation);
        patience.CancelAfter(Patience);
        try
        {
            Task<string> complaints = ComplaintsAsync(tool, CancellationToken.None);
            Task fed = input is { } bytes ? FeedAsync(tool, bytes, patience.Token) : Task.CompletedTask;
            using var output = new MemoryStream();
            await using (patience.Token.Register(() => End(tool)))
            {
                await tool.StandardOutput.BaseStream.CopyToAsync(output, patience.Token);
                await fed;
                await complaints;
                await tool.WaitForExitAsync(patience.Token);
            }

            return tool.ExitCode == 0 ? [.. output.ToArray()] : [];
        }
        catch (OperationCanceledException) when (!cancellation.IsCancellationRequested)
        {
            return [];
        }
        catch (IOException)
        {
            cancellation.ThrowIfCancellationRequested();
            return []; // it ended before it had taken all: no such encoder
        }
        finally
        {
            End(tool);
        }
    }

    /// <summary>What the tool complains of: the rest is read, so that it does not wait, and forgotten.</summary>
    internal static Task<string> ComplaintsAsync(Process tool, CancellationToken cancellation) =>
        BeginningAsync(tool.StandardError, MostComplaint, cancellation);

    /// <summary>The beginning of a text of any length.</summary>
    internal static async Task<string> BeginningAsync(StreamReader text, int mostCharacters, CancellationToken cancellation)
    {
        var kept = new StringBuilder();
        char[] piece = new char[1 << 12];
        for (int read; (read = await text.ReadAsync(piece, cancellation)) > 0;)
        {
            kept.Append(piece, 0, Math.Min(read, mostCharacters - kept.Length));
        }

        return kept.ToString();
    }

    /// <summary>Sees to it that the tool has gone. Looking for its children reads all of /proc, so only where it has not.</summary>
    internal static void End(Process tool)
    {
        if (!tool.HasExited)
        {
            tool.Kill(entireProcessTree: true);
        }
    }

    /// <summary>The first sentence of what the tool complained of, without its address prefixes and our path.</summary>
    internal static string Complaint(string standardError, string fullPath)
    {
        string line = standardError.Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)
            .FirstOrDefault() ?? string.Empty;
        line = line.Replace($"file:{fullPath}: ", string.Empty, StringComparison.Ordinal);
        int prefixEnd = line.StartsWith('[') ? line.IndexOf("] ", StringComparison.Ordinal) : -1;
        return prefixEnd < 0 ? line : line[(prefixEnd + 2)..];
    }

    private static string[] Input(string fullPath) =>
        ["-protocol_whitelist", "file,pipe", "-format_whitelist", Demuxers, "-i", $"file:{fullPath}"];

    private static Process Start(string tool, IEnumerable<string> arguments)
    {
        var start = new ProcessStartInfo(tool)
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
        };
        foreach (string argument in arguments)
        {
            start.ArgumentList.Add(argument);
        }

        return Process.Start(start) ?? throw new InvalidOperationException($"{tool} did not start.");
    }

    private static Process WithoutInput(this Process tool)
    {
        tool.StandardInput.Close();
        return tool;
    }

    private static async Task FeedAsync(Process tool, ReadOnlyMemory<byte> input, CancellationToken cancellation)
    {
        await tool.StandardInput.BaseStream.WriteAsync(input, cancellation);
        tool.StandardInput.Close();
    }
}
