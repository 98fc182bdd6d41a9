using System.Buffers.Binary;
using SyncBench.Media;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Media;

/// <summary>
/// Recordings that broke off. The layouts are those of EBU Tech 3306 (RF64) and of ISO/IEC 14496-12; ffmpeg writes the whole
/// files, and decodes them.
/// </summary>
public sealed class WholenessTests : IDisposable
{
    private const int HeaderSeconds = 4;

    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>What a recorder leaves that lost power: half of the sound, and a header of before or of after.</summary>
    [Theory]
    [InlineData("as planned", "RIFF")]
    [InlineData("zero", "RIFF")]
    [InlineData("all ones", "RIFF")]
    [InlineData("as planned", "RF64")]
    [InlineData("zero", "RF64")]
    public async Task AWaveFileThatBrokeOff_IsReadToItsEnd_AndSaid(string length, string form)
    {
        byte[] whole = await WaveAsync(form);
        await File.WriteAllBytesAsync(_folder.File("a.wav"), WithLength(whole[..(whole.Length / 2)], form, length));

        await AssertReadAsync(seconds: 2);
    }

    /// <summary>A recorder that renews its header now and then had more sound on the card than the header says.</summary>
    [Theory]
    [InlineData("RIFF")]
    [InlineData("RF64")]
    public async Task AHeaderThatFellBehind_IsReadToTheEndOfTheFile_AndSaid(string form)
    {
        byte[] whole = await WaveAsync(form);
        await File.WriteAllBytesAsync(_folder.File("a.wav"), WithLength(whole, form, "one second"));

        await AssertReadAsync(seconds: 4);
    }

    [Theory]
    [InlineData("RIFF")]
    [InlineData("RF64")]
    public async Task AWholeFile_IsNotSpokenOf(string form)
    {
        await WaveAsync(form);
        MediaInfo media = await MediaAsync("whole.wav");

        Assert.Null(media.Damage);
        Assert.False(media.ReadsToEnd);
        Assert.Equal(MediaTime.FromSeconds(HeaderSeconds), media.Duration);
    }

    /// <summary>Chunks behind the sound, which many recorders write, are no sound.</summary>
    [Fact]
    public async Task AChunkBehindTheSound_IsNoSound()
    {
        byte[] whole = await WaveAsync("RIFF");
        await File.WriteAllBytesAsync(_folder.File("whole.wav"), [.. whole, .. "iXML\u0004\0\0\0<a/>"u8]);

        Assert.Null((await MediaAsync("whole.wav")).Damage);
    }

    [Fact]
    public async Task AMovieWhoseCopyBrokeOff_IsSaid()
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", "testsrc2=s=160x120:r=25:d=2", "-f", "lavfi", "-i", "sine=d=2", "-c:v", "libx264", "-preset", "ultrafast",
            "-c:a", "aac", "-movflags", "+faststart", _folder.File("whole.mp4"));
        byte[] whole = await File.ReadAllBytesAsync(_folder.File("whole.mp4"));
        await File.WriteAllBytesAsync(_folder.File("a.mp4"), whole[..^1000]);

        Assert.Null((await MediaAsync("whole.mp4")).Damage);
        Assert.Contains("ends 1,000 bytes before", (await MediaAsync("a.mp4")).Damage, StringComparison.Ordinal);
    }

    [Fact]
    public async Task AMovieWithoutIndex_IsToldFromATextFile()
    {
        byte[] boxes = [0, 0, 0, 16, .. "ftypqt  \0\0\0\0"u8, 0, 0, 0, 0, .. "mdat"u8, .. new byte[5000]];
        await File.WriteAllBytesAsync(_folder.File("a.mov"), boxes);

        ProbeResult probed = await MediaProbe.ProbeAsync(_folder.Listed("a.mov"), CancellationToken.None);

        Assert.Contains("no index", probed.Problem, StringComparison.Ordinal);
        Assert.Contains("keep the card", probed.Problem, StringComparison.Ordinal);
    }

    private async Task AssertReadAsync(double seconds)
    {
        MediaInfo media = await MediaAsync("a.wav");
        (SoundCapture sound, SoundReading reading) = await SoundCapture.OfAsync(media);

        Assert.Equal(seconds, media.Duration.ToSeconds(), 0.01);
        Assert.Equal(seconds, sound.Full(0).Length / 48_000.0, 0.01);
        Assert.Contains("lost power", media.Damage, StringComparison.Ordinal);
        Assert.Null(reading.Problem);
    }

    private async Task<byte[]> WaveAsync(string form)
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", $"sine=r=48000:d={HeaderSeconds}", "-c:a", "pcm_s24le", "-rf64", form == "RF64" ? "always" : "never",
            _folder.File("whole.wav"));
        return await File.ReadAllBytesAsync(_folder.File("whole.wav"));
    }

    private static byte[] WithLength(byte[] file, string form, string length)
    {
        ulong bytes = length switch
        {
            "zero" => 0,
            "all ones" => uint.MaxValue,
            "one second" => 144_000,
            _ => HeaderSeconds * 144_000,
        };
        byte[] changed = [.. file];
        int at = form == "RF64" ? changed.AsSpan().IndexOf("ds64"u8) + 16 : changed.AsSpan().IndexOf("data"u8) + 4;
        if (form == "RF64")
        {
            BinaryPrimitives.WriteUInt64LittleEndian(changed.AsSpan(at), bytes);
        }
        else
        {
            BinaryPrimitives.WriteUInt32LittleEndian(changed.AsSpan(at), (uint)bytes);
        }

        return changed;
    }

    private async Task<MediaInfo> MediaAsync(string name)
    {
        ProbeResult probed = await MediaProbe.ProbeAsync(_folder.Listed(name), CancellationToken.None);
        Assert.Null(probed.Problem);
        return probed.Media!;
    }
}
