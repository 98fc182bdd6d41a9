using System.Runtime.InteropServices;
using SyncBench.Media;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Media;

public sealed class WaveSoundTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <remarks>Source: what ffmpeg's own decoder makes of the same file.</remarks>
    [Theory]
    [InlineData("pcm_s16le", 1, "never")]
    [InlineData("pcm_s24le", 1, "never")]
    [InlineData("pcm_s24le", 3, "always")]
    [InlineData("pcm_s32le", 2, "auto")]
    [InlineData("pcm_f32le", 2, "never")]
    public async Task OfPlainSamples_IsToTheBitWhatFfmpegDecodes(string codec, int channels, string rf64)
    {
        string file = _folder.File("plain.wav");
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", "anoisesrc=r=48000:d=3.00007:a=0.9:seed=7", "-ac", $"{channels}",
            "-c:a", codec, "-rf64", rf64, file);
        await Tool.FfmpegAsync("-i", file, "-f", "f32le", _folder.File("decoded"));
        float[] decoded = MemoryMarshal.Cast<byte, float>(await File.ReadAllBytesAsync(_folder.File("decoded"))).ToArray();
        var read = new List<float>();

        bool isWhole = (await SoundOfAsync(Path.GetFileName(file)))!.Read(samples =>
        {
            read.AddRange(samples);
            return true;
        });

        Assert.True(isWhole);
        Assert.Equal(decoded, read);
    }

    [Fact]
    public async Task OfAFileThatIsCutOff_IsLeftToTheDecoder()
    {
        string file = _folder.File("cut.wav");
        await Tool.FfmpegAsync("-f", "lavfi", "-i", "anoisesrc=r=48000:d=2", file);
        byte[] whole = await File.ReadAllBytesAsync(file);
        Assert.NotNull(await SoundOfAsync(Path.GetFileName(file)));

        await File.WriteAllBytesAsync(file, whole[..^20_000]);

        Assert.Null(await SoundOfAsync(Path.GetFileName(file)));
    }

    [Fact]
    public async Task OfCompressedSound_IsLeftToTheDecoder()
    {
        string file = _folder.File("adpcm.wav");
        await Tool.FfmpegAsync("-f", "lavfi", "-i", "anoisesrc=r=48000:d=2", "-c:a", "adpcm_ms", file);

        Assert.Null(await SoundOfAsync(Path.GetFileName(file)));
    }

    [Fact]
    public async Task OfAFileThatHasGone_IsLeftToTheDecoder_WhichSaysSo()
    {
        await Tool.FfmpegAsync("-f", "lavfi", "-i", "anoisesrc=r=48000:d=2", _folder.File("gone.wav"));
        MediaInfo media = (await MediaProbe.ProbeAsync(_folder.Listed("gone.wav"), CancellationToken.None)).Media!;
        File.Delete(_folder.File("gone.wav"));

        SoundReading reading = await SoundReader.ReadAsync(media, [], null, CancellationToken.None);

        Assert.Equal(MediaTime.Zero, reading.Heard);
        Assert.Contains("No such file", reading.Problem, StringComparison.Ordinal);
    }

    private async Task<WaveSound?> SoundOfAsync(string name) =>
        WaveSound.Of((await MediaProbe.ProbeAsync(_folder.Listed(name), CancellationToken.None)).Media!);
}
