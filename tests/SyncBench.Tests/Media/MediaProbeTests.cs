using SyncBench.Media;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Media;

public sealed class MediaProbeTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("24000/1001", 24_000, 1_001)]
    [InlineData("25", 25, 1)]
    [InlineData("30000/1001", 30_000, 1_001)]
    [InlineData("60000/1001", 60_000, 1_001)]
    public async Task AFrameRate_IsExact(string rate, int numerator, int denominator)
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", $"testsrc2=s=160x120:r={rate}:d=2", "-c:v", "libx264", "-preset", "ultrafast",
            _folder.File("a.mp4"));

        MediaInfo media = await MediaAsync("a.mp4");

        Assert.Equal(new Rate(numerator, denominator), media.Video[0].FrameRate);
    }

    [Fact]
    public async Task AFileName_MayHoldAnything()
    {
        const string Name = "-we \"ird'\n$(name)\\ ☂ 25%.wav";
        await Tool.FfmpegAsync("-f", "lavfi", "-i", "sine=d=1", "-c:a", "pcm_s16le", _folder.File("plain.wav"));
        File.Move(_folder.File("plain.wav"), _folder.File(Name));

        MediaInfo media = await MediaAsync(Name);
        (SoundCapture sound, SoundReading reading) = await SoundCapture.OfAsync(media);

        Assert.Null(reading.Problem);
        Assert.Equal(44_100, sound.Full(0).Length);
    }

    [Fact]
    public async Task StartTimecode_AndDate_AreTold()
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", "testsrc2=s=160x120:r=25:d=1", "-c:v", "libx264", "-preset", "ultrafast",
            "-timecode", "10:20:30:12", "-metadata", "creation_time=2026-03-04T05:06:07Z", _folder.File("a.mov"));

        MediaInfo media = await MediaAsync("a.mov");

        Assert.Equal("10:20:30:12", media.StartTimecode);
        Assert.Equal(new DateTimeOffset(2026, 3, 4, 5, 6, 7, TimeSpan.Zero), media.CreatedAt);
    }

    /// <summary>The extension is written by ffmpeg (-write_bext), by its own reading of EBU Tech 3285.</summary>
    [Theory]
    [InlineData("never")]
    [InlineData("always")]
    public async Task ABroadcastWave_TellsSamplesSinceMidnight_AndDate(string rf64)
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", "sine=r=96000:d=1", "-c:a", "pcm_s24le", "-rf64", rf64, "-write_bext", "1",
            "-metadata", "time_reference=8200000000", "-metadata", "origination_date=2026-03-04",
            "-metadata", "origination_time=23:43:20", _folder.File("a.wav"));

        MediaInfo media = await MediaAsync("a.wav");

        Assert.Equal(8_200_000_000, media.TimeReference);
        Assert.Equal(new DateTimeOffset(2026, 3, 4, 23, 43, 20, TimeSpan.Zero), media.CreatedAt);
    }

    [Fact]
    public async Task MakerReelLayoutAndTrackNames_AreTold()
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", "testsrc2=s=160x120:r=25:d=1", "-f", "lavfi", "-i", "sine=d=1", "-f", "lavfi", "-i", "anullsrc=cl=stereo:d=1",
            "-map", "0", "-map", "1", "-map", "2", "-c:v", "mpeg2video", "-flags", "+ildct+ilme", "-field_order", "tt", "-c:a", "pcm_s16le",
            "-metadata:s:a:0", "handler_name=Boom", "-metadata", "make=Harbour", "-metadata", "model=One", "-movflags", "use_metadata_tags",
            _folder.File("a.mov"));

        MediaInfo media = await MediaAsync("a.mov");

        Assert.Equal("Harbour One", media.MadeBy);
        Assert.Equal(["mono", "stereo"], media.Audio.Select(stream => stream.Layout));
        Assert.Equal(["Boom", null, null], Enumerable.Range(0, 3).Select(media.ChannelName));
        Assert.True(media.Video[0].IsInterlaced);
        Assert.False(media.Video[0].IsVariableRate);
    }

    /// <summary>Frames 1, 3, 4, 6… of 50: what a phone leaves out when light fails.</summary>
    [Fact]
    public async Task FramesThatKeepNoDistance_AreVariable()
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", "testsrc2=s=160x120:r=50:d=4", "-vf", "select='not(eq(mod(n\\,3)\\,1))'", "-vsync", "passthrough",
            "-c:v", "libx264", "-preset", "ultrafast", _folder.File("a.mp4"));

        Assert.True((await MediaAsync("a.mp4")).Video[0].IsVariableRate);
    }

    [Fact]
    public async Task AnEmptyFile_IsCalledEmpty()
    {
        await File.WriteAllBytesAsync(_folder.File("a.mov"), []);

        Assert.Contains("empty", await ProblemAsync("a.mov"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task TextNamedAsAMovie_IsNoMedia()
    {
        await File.WriteAllTextAsync(_folder.File("a.mov"), "rolls of hemp, delivered Tuesday");

        Assert.Contains("copy it again from the card", await ProblemAsync("a.mov"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task AMovieCutOff_HasNoIndex()
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", "testsrc2=s=320x240:r=25:d=2", "-c:v", "libx264", _folder.File("whole.mp4"));
        byte[] whole = await File.ReadAllBytesAsync(_folder.File("whole.mp4"));
        await File.WriteAllBytesAsync(_folder.File("cut.mp4"), whole[..(whole.Length / 2)]);

        Assert.Contains("no index", await ProblemAsync("cut.mp4"), StringComparison.Ordinal);
    }

    /// <summary>A playlist could make the reader open any file of the machine, or the network.</summary>
    [Theory]
    [InlineData("list.mov", "ffconcat version 1.0\nfile plain.wav\n")]
    [InlineData("list.mp4", "#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\nplain.wav\n#EXT-X-ENDLIST\n")]
    public async Task APlaylist_IsRefused(string name, string text)
    {
        await Tool.FfmpegAsync("-f", "lavfi", "-i", "sine=d=1", "-c:a", "pcm_s16le", _folder.File("plain.wav"));
        await File.WriteAllTextAsync(_folder.File(name), text);

        Assert.NotNull(await ProblemAsync(name));
    }

    private async Task<MediaInfo> MediaAsync(string name)
    {
        ProbeResult probed = await MediaProbe.ProbeAsync(_folder.Listed(name), CancellationToken.None);
        Assert.Null(probed.Problem);
        return probed.Media!;
    }

    private async Task<string> ProblemAsync(string name)
    {
        ProbeResult probed = await MediaProbe.ProbeAsync(_folder.Listed(name), CancellationToken.None);
        Assert.Null(probed.Media);
        return probed.Problem!;
    }
}
