using System.Buffers.Binary;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using SyncBench.Media;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Media;

/// <summary>Files that want more than to be read.</summary>
public sealed class UntrustedFilesTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>
    /// Scripts that make a reader open something else, under the name of a movie. "LOCAL" is a sound file: had it been opened,
    /// the script would have passed for a recording. "NET" is a port of this machine that counts who calls.
    /// </summary>
    [Theory]
    [InlineData("ffconcat version 1.0\nfile LOCAL\n")]
    [InlineData("ffconcat version 1.0\nfile NET\n")]
    [InlineData("#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\nLOCAL\n#EXT-X-ENDLIST\n")]
    [InlineData("#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\nNET\n#EXT-X-ENDLIST\n")]
    [InlineData("v=0\no=- 0 0 IN IP4 127.0.0.1\ns=x\nc=IN IP4 127.0.0.1\nm=audio 5004 RTP/AVP 0\n")]
    [InlineData("[Reference]\nRef1=NET\n")]
    [InlineData("<?xml version=\"1.0\"?><MPD xmlns=\"urn:mpeg:dash:schema:mpd:2011\" type=\"static\"><Period><AdaptationSet mimeType=\"audio/mp4\"><Representation id=\"1\"><BaseURL>NET</BaseURL></Representation></AdaptationSet></Period></MPD>")]
    public async Task AScriptNamedAsAMovie_OpensNothing(string script)
    {
        await Tool.FfmpegAsync("-f", "lavfi", "-i", "sine=d=1", "-c:a", "pcm_s16le", _folder.File("canary.wav"));
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        string port = ((IPEndPoint)listener.LocalEndpoint).Port.ToString(CultureInfo.InvariantCulture);
        await File.WriteAllTextAsync(
            _folder.File("a.mov"),
            script.Replace("LOCAL", "canary.wav", StringComparison.Ordinal).Replace("NET", $"http://127.0.0.1:{port}/a.wav", StringComparison.Ordinal));

        ProbeResult probed = await ProbeAsync();

        Assert.Null(probed.Media);
        Assert.False(listener.Pending());
    }

    [Theory]
    [InlineData(22, 0)]
    [InlineData(22, 60_000)]
    public async Task AWaveFileWithAnAbsurdNumberOfChannels_IsRefused(int at, ushort channels)
    {
        byte[] wave = await WaveAsync();
        BinaryPrimitives.WriteUInt16LittleEndian(wave.AsSpan(at), channels);
        await File.WriteAllBytesAsync(_folder.File("a.mov"), wave);

        Assert.NotNull((await ProbeAsync()).Problem);
    }

    [Theory]
    [InlineData(1u)]
    [InlineData(2_000_000_000u)]
    [InlineData(uint.MaxValue)]
    public async Task AWaveFileWithAnAbsurdSampleRate_IsRefused(uint rate)
    {
        byte[] wave = await WaveAsync();
        BinaryPrimitives.WriteUInt32LittleEndian(wave.AsSpan(24), rate);
        await File.WriteAllBytesAsync(_folder.File("a.mov"), wave);

        Assert.NotNull((await ProbeAsync()).Problem);
    }

    [Fact]
    public async Task AClipOfOneFrame_IsAClip()
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", "testsrc2=s=64x48:r=25:d=0.04", "-c:v", "libx264", "-preset", "ultrafast", _folder.File("a.mov"));

        Assert.Equal(0.04, (await ProbeAsync()).Media!.Duration.ToSeconds(), 1e-6);
    }

    /// <summary>Sound from the first second, picture from a day later: an edit list can say so.</summary>
    [Theory]
    [InlineData(24, true)]
    [InlineData(24 * 365, false)]
    public async Task APictureThatBeginsADayLater_IsRead_AndAYearLaterRefused(int hours, bool isRead)
    {
        string offset = (hours * 3600).ToString(CultureInfo.InvariantCulture);
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", "sine=d=1", "-itsoffset", offset, "-f", "lavfi", "-i", "testsrc2=s=64x48:r=25:d=0.2", "-map", "0", "-map", "1", "-vsync", "passthrough",
            "-c:v", "libx264", "-preset", "ultrafast", "-c:a", "aac", _folder.File("a.mov"));

        ProbeResult probed = await ProbeAsync();

        Assert.Equal(isRead, probed.Problem is null);
        Assert.Equal(isRead ? (hours * 3600) + 0.2 : null, probed.Media?.Duration.ToSeconds());
    }

    private async Task<byte[]> WaveAsync()
    {
        await Tool.FfmpegAsync("-f", "lavfi", "-i", "sine=d=1:r=48000", "-c:a", "pcm_s16le", _folder.File("whole.wav"));
        return await File.ReadAllBytesAsync(_folder.File("whole.wav"));
    }

    private Task<ProbeResult> ProbeAsync() => MediaProbe.ProbeAsync(_folder.Listed("a.mov"), CancellationToken.None);
}
