using System.Globalization;
using Serilog;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Pipeline;
using SyncBench.Reporting;
using SyncBench.Selection;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Pipeline;

/// <summary>
/// Real files: timecode tracks and a broadcast wave by ffmpeg, LTC by libltc (fixtures/ltc) through a camera's AAC. All
/// hear the same sound, so where each should lie is known.
/// </summary>
public sealed class TimecodeRunTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task TimecodeOfEveryKind_IsHeldAgainstSound()
    {
        await RecorderAsync("dump/RECORDER/1.WAV", seconds: 60);
        await CameraAsync("dump/CAM_A/1.MOV", start: 5, seconds: 8, "10:00:05:00");
        await CameraAsync("dump/CAM_A/2.MOV", start: 20, seconds: 8, "10:00:20:03");
        await CameraAsync("dump/CAM_B/1.MP4", start: 6, seconds: 8, "11:30:06:00");
        await CameraAsync("dump/CAM_B/2.MP4", start: 22, seconds: 8, "11:30:22:00");
        await CameraWithLtcAsync("dump/CAM_C/1.MOV", start: 30);

        DumpResult result = await RunAsync();

        Assert.All(result.Files, file => Assert.Equal(Outcome.Placed, file.Outcome));
        var checks = result.Files.ToDictionary(file => file.File.Path, file => file.Timecode);
        Assert.Null(checks["RECORDER/1.WAV"]);
        Assert.True(checks["CAM_A/1.MOV"]!.Agrees);
        Assert.Equal(
            "10:00:20:03 by its timecode track, 10:00:20:00 by sound and RECORDER's broadcast wave time reference: 3.0 frames late",
            checks["CAM_A/2.MOV"]!.InWords());
        Assert.Equal(5400, result.Clocks.Single(clock => clock.Device.Name == "CAM_B").Timecode!.Off.ToSeconds(), 0.001);
        Assert.True(checks["CAM_B/1.MP4"]!.Agrees && checks["CAM_B/2.MP4"]!.Agrees);

        // The first word begins with the sound, and its label is 10:00:29:20: 0.2 s early.
        Assert.Equal("LTC on channel 2", checks["CAM_C/1.MOV"]!.Clock.InWords());
        Assert.Equal(("10:00:29:20", "10:00:30:00"), (checks["CAM_C/1.MOV"]!.Label, checks["CAM_C/1.MOV"]!.LabelBySound));
        Assert.Equal(-0.2, checks["CAM_C/1.MOV"]!.Off.ToSeconds(), 0.001);
        Clip camera = result.Files.Single(file => file.File.Path == "CAM_C/1.MOV").Clip!;
        Assert.Equal([MicRole.Scratch, MicRole.Timecode], camera.Mics.Select(mic => mic.Role));
        Assert.DoesNotContain(
            result.Takes.SelectMany(take => take.Curves), curve => curve.Source.Mic.Role == MicRole.Timecode);

        string[] told = [.. ActionList.Of(result).SelectMany(action => action.Where)];
        Assert.Equal(3, told.Length);
        Assert.StartsWith("CAM_A/2.MOV: 10:00:20:03", told[0], StringComparison.Ordinal);
        Assert.StartsWith("CAM_C/1.MOV: 10:00:29:20", told[1], StringComparison.Ordinal);
        Assert.StartsWith("CAM_B: its timecode is 01:30:00 late", told[2], StringComparison.Ordinal);
        Assert.Contains(
            "10:00:20:03,10:00:20:00", await File.ReadAllTextAsync(_folder.File("out/clips.csv")), StringComparison.Ordinal);
    }

    private async Task<DumpResult> RunAsync() => await new DumpRun(new LoggerConfiguration().CreateLogger(), TimeProvider.System).RunAsync(
        new RunRequest(_folder.File("dump"), OutputFolder.Open(_folder.File("out"), _folder.File("dump")), DumpSettings.Usual),
        null, CancellationToken.None);

    private string Make(string name)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(_folder.File(name))!);
        return _folder.File(name);
    }

    /// <summary>10:00:00 at its first sample: 36000 s × 48000.</summary>
    private Task RecorderAsync(string name, int seconds) => Tool.FfmpegAsync(
        [.. Sound(0, seconds), "-c:a", "pcm_s24le", "-write_bext", "1", "-metadata", "time_reference=1728000000", Make(name)]);

    private Task CameraAsync(string name, int start, int seconds, string timecode) => Tool.FfmpegAsync(
        [.. Sound(start, seconds), .. Picture(seconds), "-c:a", "aac", "-timecode", timecode, Make(name)]);

    /// <summary>Sound on the left, timecode on the right, and a timecode track that was never set.</summary>
    private async Task CameraWithLtcAsync(string name, int start)
    {
        LtcFixture ltc = LtcFixture.Read("25_long");
        byte[] raw = new byte[ltc.Samples.Length * sizeof(float)];
        Buffer.BlockCopy(ltc.Samples, 0, raw, 0, raw.Length);
        await File.WriteAllBytesAsync(_folder.File("ltc.f32"), raw);
        await Tool.FfmpegAsync(
            [.. Sound(start, 6), "-f", "f32le", "-ar", "48000", "-ac", "1", "-i", _folder.File("ltc.f32"), .. Picture(6),
            "-filter_complex", $"[0:a][1:a]join=inputs=2:channel_layout=stereo,atrim=0:6[a]",
            "-map", "2:v", "-map", "[a]", "-c:a", "aac", "-timecode", "00:00:00:00", Make(name)]);
    }

    private static string[] Sound(int start, int seconds) =>
        ["-f", "lavfi", "-i", $"anoisesrc=r=48000:a=0.5:seed=7:d=60,tremolo=f=4.3:d=0.9,tremolo=f=1.1:d=0.8,{Cut(start, seconds)}"];

    private static string Cut(int start, int seconds) => string.Create(
        CultureInfo.InvariantCulture, $"atrim={start}:{start + seconds},asetpts=PTS-STARTPTS");

    private static string[] Picture(int seconds) =>
        ["-f", "lavfi", "-i", $"testsrc2=s=64x64:r=25:d={seconds}", "-c:v", "libx264", "-preset", "ultrafast"];
}
