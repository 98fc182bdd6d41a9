using System.Buffers.Binary;
using System.Text;
using SyncBench.Signal.Loudness;
using SyncBench.Tests.Support;
using SyncBench.Timeline.Dialogue;

namespace SyncBench.Tests.Standards;

/// <summary>
/// EBU Tech 3285 (broadcast wave) and Tech 3306 (RF64), as two readers that know nothing of us understand them: ffprobe
/// and mediainfo.
/// </summary>
public class BroadcastWaveOfTech3285Tests
{
    /// <summary>10:20:30 of a day at 48 kHz, and 17 samples.</summary>
    private const long TimeReference = (((10 * 3600) + (20 * 60) + 30) * 48_000L) + 17;

    private static readonly DateTimeOffset Made = new(2026, 5, 14, 18, 40, 7, TimeSpan.FromHours(2));

    private static readonly BroadcastExtension Extension = new(
        "Dialogue of take 1 of ropewalk-day2", "SyncBench", Made, TimeReference,
        new LoudnessFigures(-21.37, 8.2, -17.5, -14.25, -3.04), "A=PCM,F=48000,W=24,M=mono,T=SyncBench\r\n");

    [Fact]
    public async Task BothReaders_FindOriginatorDateAndTimeReference()
    {
        using var folder = new TemporaryFolder();
        Write(folder.File("take.wav"), Sine(4801));

        string ffprobe = await Tool.OutputAsync(
            "ffprobe", "-v", "error", "-show_format", "-show_streams", folder.File("take.wav"));
        Assert.Contains("TAG:encoded_by=SyncBench\n", ffprobe, StringComparison.Ordinal);
        Assert.Contains("TAG:date=2026-05-14\n", ffprobe, StringComparison.Ordinal);
        Assert.Contains("TAG:creation_time=18:40:07\n", ffprobe, StringComparison.Ordinal);
        Assert.Contains($"TAG:time_reference={TimeReference}\n", ffprobe, StringComparison.Ordinal);
        Assert.Contains("TAG:comment=Dialogue of take 1 of ropewalk-day2\n", ffprobe, StringComparison.Ordinal);
        Assert.Contains("TAG:coding_history=A=PCM,F=48000,W=24,M=mono,T=SyncBench", ffprobe, StringComparison.Ordinal);
        Assert.Contains("codec_name=pcm_s24le\n", ffprobe, StringComparison.Ordinal);
        Assert.Contains("duration_ts=4801\n", ffprobe, StringComparison.Ordinal);

        string mediainfo = await Tool.OutputAsync("mediainfo", "--Full", folder.File("take.wav"));
        Assert.Matches(@"Producer\s+: SyncBench", mediainfo);
        Assert.Matches(@"Encoded date\s+: 2026-05-14 18:40:07", mediainfo);
        Assert.Matches(@"Delay\s+: 37230000", mediainfo); // TimeReference in milliseconds
        Assert.Matches(@"Bit depth\s+: 24", mediainfo);
    }

    [Fact]
    public void LoudnessFields_AreInHundredths_AndWhatIsNotKnownSaysSo()
    {
        Assert.Equal([-2137, 820, -304, -1425, -1750], Fields(Extension));
        Assert.Equal(
            [0x7FFF, 0, 0x7FFF, 0x7FFF, 0x7FFF],
            Fields(Extension with { Loudness = LoudnessFigures.Of(new float[200], 0) }));

        static short[] Fields(BroadcastExtension extension)
        {
            byte[] bytes = extension.ToBytes();
            return [.. Enumerable.Range(0, 5).Select(i => BinaryPrimitives.ReadInt16LittleEndian(bytes.AsSpan(412 + (2 * i))))];
        }
    }

    [Fact]
    public async Task Samples_ComeBackToHalfAStepOf24Bit()
    {
        using var folder = new TemporaryFolder();
        float[] sound = Sine(48_000);
        Write(folder.File("take.wav"), sound);
        await Tool.FfmpegAsync("-i", folder.File("take.wav"), "-f", "f32le", folder.File("raw"));

        byte[] raw = await File.ReadAllBytesAsync(folder.File("raw"));
        Assert.Equal(sound.Length, raw.Length / 4);
        Assert.All(sound, (x, n) => Assert.Equal(x, BinaryPrimitives.ReadSingleLittleEndian(raw.AsSpan(4 * n)), 1.01f / (1 << 24)));
    }

    /// <summary>A whole number of bytes that is odd: the chunk is filled up, its size is not.</summary>
    [Fact]
    public void AnOddChunk_IsFilledUp()
    {
        using var stream = new MemoryStream();
        using var folder = new TemporaryFolder();
        using var track = new DialogueTrack(3, folder.Path);
        DialogueWave.Write(stream, Extension, track, 0, 3, 1);

        byte[] bytes = stream.ToArray();
        Assert.Equal(0, bytes.Length % 2);
        Assert.Equal((uint)bytes.Length - 8, BinaryPrimitives.ReadUInt32LittleEndian(bytes.AsSpan(4)));
        Assert.Equal(9u, BinaryPrimitives.ReadUInt32LittleEndian(bytes.AsSpan(bytes.Length - 14)));
    }

    [Fact]
    public void UpTo4GB_ItIsRiff_AndRoomIsKept_BeyondItIsRf64_OfTheSameShape()
    {
        byte[] extension = Extension.ToBytes();
        int head = BroadcastWaveHeader.Of(extension, 0, 48_000).Length;
        long most = (0xFFFF_FFFEL - head + 8) / 3;

        byte[] riff = BroadcastWaveHeader.Of(extension, most - 1, 48_000), rf64 = BroadcastWaveHeader.Of(extension, most + 1, 48_000);

        Assert.Equal("RIFF", Encoding.ASCII.GetString(riff, 0, 4));
        Assert.Equal("WAVEJUNK", Encoding.ASCII.GetString(riff, 8, 8));
        Assert.Equal("RF64", Encoding.ASCII.GetString(rf64, 0, 4));
        Assert.Equal("WAVEds64", Encoding.ASCII.GetString(rf64, 8, 8));
        Assert.Equal(riff.Length, rf64.Length);
        Assert.Equal(0xFFFF_FFFF, BinaryPrimitives.ReadUInt32LittleEndian(rf64.AsSpan(4)));
        Assert.Equal(0xFFFF_FFFF, BinaryPrimitives.ReadUInt32LittleEndian(rf64.AsSpan(rf64.Length - 4)));
        Assert.Equal((most + 1) * 3, BinaryPrimitives.ReadInt64LittleEndian(rf64.AsSpan(28)));
        Assert.Equal(most + 1, BinaryPrimitives.ReadInt64LittleEndian(rf64.AsSpan(36)));
    }

    /// <summary>Nine hours: a file with a hole in place of 4.6 GB.</summary>
    [Fact]
    public async Task NineHours_AreReadByBothReaders()
    {
        using var folder = new TemporaryFolder();
        const long Samples = 9L * 3600 * 48_000;
        using (FileStream file = File.Create(folder.File("long.wav")))
        {
            byte[] head = BroadcastWaveHeader.Of(Extension.ToBytes(), Samples, 48_000);
            file.Write(head);
            file.SetLength(head.Length + (Samples * 3));
        }

        string ffprobe = await Tool.OutputAsync(
            "ffprobe", "-v", "error", "-show_format", "-show_streams", folder.File("long.wav"));
        Assert.Contains("duration=32400.000000\n", ffprobe, StringComparison.Ordinal);
        Assert.Contains($"TAG:time_reference={TimeReference}\n", ffprobe, StringComparison.Ordinal);
        Assert.Matches(@"Duration\s+: 9 h 0 min", await Tool.OutputAsync("mediainfo", folder.File("long.wav")));
    }

    private static void Write(string path, float[] sound)
    {
        using var folder = new TemporaryFolder();
        using var track = new DialogueTrack(sound.Length, folder.Path);
        track.Write(0, sound);
        using FileStream file = File.Create(path);
        DialogueWave.Write(file, Extension, track, 0, sound.Length, 1);
    }

    private static float[] Sine(int samples) => [.. Enumerable.Range(0, samples).Select(n => 0.5f * MathF.Sin(n * 0.05f))];
}
