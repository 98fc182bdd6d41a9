using System.Diagnostics;
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

    /// <summary>Containers of cameras, phones and recorders, and single pictures; names as ffmpeg lists them.</summary>
    private const string Demuxers =
        "mov,wav,w64,mxf,matroska,avi,mpegts,mpeg,aiff,caf,flac,ogg,mp3,aac,ac3,dv,asf,flv,gxf," +
        "jpeg_pipe,png_pipe,tiff_pipe,bmp_pipe,webp_pipe,dpx_pipe,exr_pipe";

    internal static Process Decode(MediaInfo media, IEnumerable<string> outputArguments) => Start(
        GlobalFFOptions.GetFFMpegBinaryPath(),
        [
            "-nostdin", "-hide_banner", "-v", "error", .. media.ReadsToEnd ? ["-ignore_length", "1"] : Array.Empty<string>(),
            .. Input(media.File.FullPath), .. outputArguments,
        ]);

    internal static Process Probe(string fullPath) => Start(
        GlobalFFOptions.GetFFProbeBinaryPath(),
        ["-v", "error", "-print_format", "json", "-show_format", "-show_streams", .. Input(fullPath)]);

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

        Process process = Process.Start(start)
            ?? throw new InvalidOperationException($"{tool} did not start.");
        process.StandardInput.Close();
        return process;
    }
}
