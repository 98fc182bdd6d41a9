using System.Globalization;
using Serilog;
using SyncBench.Intake;
using SyncBench.Pipeline;
using SyncBench.Scenes;
using SyncBench.Selection;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Pipeline;

/// <summary>A dump whose files are written by ffmpeg from sound on a grid of 48 kHz, and the run over it.</summary>
internal sealed class RenderedDump : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    internal string PathOf(string file)
    {
        string path = _folder.File($"dump/{file}");
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        return path;
    }

    internal Task SoundAsync(string file, params float[][] channels) =>
        WriteAsync(file, channels, picture: false, "-c:a", "pcm_s24le");

    internal Task CameraAsync(string file, IReadOnlyList<float[]> channels, params string[] sound) =>
        WriteAsync(file, channels, picture: true, sound);

    internal async Task<DumpResult> RunAsync(DumpSettings settings)
    {
        using var log = new LoggerConfiguration().CreateLogger();
        return await new DumpRun(log, TimeProvider.System).RunAsync(
            new RunRequest(_folder.File("dump"), OutputFolder.Open(_folder.File("out"), _folder.File("dump")), settings),
            null, CancellationToken.None);
    }

    private async Task WriteAsync(string file, IReadOnlyList<float[]> channels, bool picture, params string[] sound)
    {
        string path = PathOf(file);
        double seconds = channels[0].Length / 48_000.0;
        string[] frames = picture
            ?
            [
                "-f", "lavfi", "-i", string.Create(CultureInfo.InvariantCulture, $"testsrc2=s=64x64:r=25:d={seconds}"),
                "-map", "1:v", "-map", "0:a", "-c:v", "libx264", "-preset", "ultrafast",
            ]
            : [];
        await ExternalTool.RunAsync(
            "ffmpeg", ["-v", "error", "-y", "-f", "f32le", "-ar", "48000", "-ac", $"{channels.Count}", "-i", "pipe:0", .. frames, .. sound, path],
            pipe => Interleaved.WriteAsync(pipe, channels, CancellationToken.None), CancellationToken.None);
    }
}
