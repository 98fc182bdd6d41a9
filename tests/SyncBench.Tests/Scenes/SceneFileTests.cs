using System.Diagnostics;
using System.Text.Json;
using SyncBench.Scenes;

namespace SyncBench.Tests.Scenes;

public sealed class SceneFileTests : IDisposable
{
    private static readonly DateTime Started = new(2026, 5, 14, 9, 20, 55, 500, DateTimeKind.Utc);
    private static readonly Picture Picture = new("CAM_A wide", "0x3a4a55", [new Figure(10, 10, 40, 40, "0xc8a27a")]);

    private readonly string _folder = Directory.CreateTempSubdirectory("syncbench-scenes-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData("clip.MP4")]
    [InlineData("clip.MOV")]
    public async Task ACameraFile_IsTheSameBytesEveryTime_AndItsSoundIsWhereItWasPut(string name)
    {
        string first = Path.Combine(_folder, name), second = Path.Combine(_folder, "again-" + name);
        float[] click = new float[48_000];
        for (int i = 0; i < 480; i++)
        {
            click[24_000 + i] = (float)(0.8 * Math.Sin(2 * Math.PI * i / 48) * Math.Exp(-i / 60.0));
        }

        foreach (string path in new[] { first, second })
        {
            await CameraFile.WriteAsync(
                path, Picture, frames: 25, sceneSeconds: 12.5, [click, click], Started, "09:20:55:12", CancellationToken.None);
        }

        Assert.Equal(await File.ReadAllBytesAsync(first), await File.ReadAllBytesAsync(second));
        float[] decoded = Decode(first);
        int lag = Enumerable.Range(-200, 401).MaxBy(shift => Correlation(click, decoded, shift));
        Assert.Equal(0, lag);
    }

    /// <summary>ffprobe is the outside reader.</summary>
    [Fact]
    public async Task ARecorderFile_TellsFfprobeItsTimeAndOrigin()
    {
        string path = Path.Combine(_folder, "rec.WAV");
        float[] ramp = [.. Enumerable.Range(0, 4800).Select(i => (i - 2400) / 2400f)];
        await BroadcastWave.WriteAsync(path, [ramp], 48_000, "TALLOWICK REC", "lavalier", Started, CancellationToken.None);

        using JsonDocument probed = JsonDocument.Parse(Run(
            "ffprobe", "-v", "error", "-show_format", "-show_streams", "-of", "json", path));
        JsonElement stream = probed.RootElement.GetProperty("streams")[0];
        JsonElement tags = probed.RootElement.GetProperty("format").GetProperty("tags");

        Assert.Equal("pcm_s24le", stream.GetProperty("codec_name").GetString());
        Assert.Equal(4800, stream.GetProperty("duration_ts").GetInt64());
        Assert.Equal("TALLOWICK REC", tags.GetProperty("encoded_by").GetString());
        Assert.Equal("2026-05-14", tags.GetProperty("date").GetString());
        double seconds = (((9 * 60) + 20) * 60) + 55.5;
        Assert.Equal($"{(long)(seconds * 48_000)}", tags.GetProperty("time_reference").GetString());

        float[] decoded = Decode(path);
        for (int i = 0; i < ramp.Length; i++)
        {
            Assert.Equal(ramp[i], decoded[i], 1e-6);
        }
    }

    private static double Correlation(float[] one, float[] other, int shift)
    {
        double sum = 0;
        for (int i = 23_000; i < 26_000; i++)
        {
            sum += one[i] * other[i + shift];
        }

        return sum;
    }

    private static float[] Decode(string path)
    {
        string raw = path + ".raw";
        Run("ffmpeg", "-v", "error", "-y", "-i", path, "-map", "0:a", "-ac", "1", "-f", "f32le", raw);
        byte[] bytes = File.ReadAllBytes(raw);
        var samples = new float[bytes.Length / sizeof(float)];
        Buffer.BlockCopy(bytes, 0, samples, 0, bytes.Length);
        return samples;
    }

    private static string Run(string program, params string[] arguments)
    {
        using Process process = Process.Start(new ProcessStartInfo(program, arguments)
        {
            UseShellExecute = false,
            RedirectStandardOutput = true,
        })!;
        string output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        Assert.Equal(0, process.ExitCode);
        return output;
    }
}
