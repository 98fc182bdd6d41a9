using SyncBench.Media;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Media;

public sealed class RecorderNotesTests : IDisposable
{
    /// <summary>Element names and nesting as the iXML specification lists them (gallery.co.uk/ixml, by notes on it).</summary>
    private const string Whole = """
        <?xml version="1.0" encoding="UTF-8"?>
        <BWFXML>
          <IXML_VERSION>1.61</IXML_VERSION>
          <SCENE>ropewalk</SCENE><TAKE>2</TAKE><TAPE>day2</TAPE><CIRCLED>TRUE</CIRCLED><NOTE>hemp &amp; tar</NOTE>
          <SPEED>
            <MASTER_SPEED>25/1</MASTER_SPEED><CURRENT_SPEED>25/1</CURRENT_SPEED>
            <TIMECODE_RATE>30000/1001</TIMECODE_RATE><TIMECODE_FLAG>DF</TIMECODE_FLAG>
            <FILE_SAMPLE_RATE>48000</FILE_SAMPLE_RATE><TIMESTAMP_SAMPLE_RATE>48000</TIMESTAMP_SAMPLE_RATE>
            <TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>1</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>
            <TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>591751049</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>
          </SPEED>
          <FILE_SET><TOTAL_FILES>2</TOTAL_FILES><FAMILY_UID>ropewalk-2-day2</FAMILY_UID><FILE_SET_INDEX>A</FILE_SET_INDEX></FILE_SET>
          <TRACK_LIST>
            <TRACK_COUNT>2</TRACK_COUNT>
            <TRACK><CHANNEL_INDEX>3</CHANNEL_INDEX><INTERLEAVE_INDEX>1</INTERLEAVE_INDEX><NAME>Ines lav</NAME></TRACK>
            <TRACK><CHANNEL_INDEX>4</CHANNEL_INDEX><INTERLEAVE_INDEX>2</INTERLEAVE_INDEX><NAME>Boom</NAME><FUNCTION>M-MID_SIDE</FUNCTION></TRACK>
          </TRACK_LIST>
        </BWFXML>
        """;

    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void EveryPartOfTheNotes_IsRead()
    {
        RecorderNotes notes = Read(Of(Whole)).Notes!;

        Assert.Equal(("ropewalk", "2", "day2", "hemp & tar", true), (notes.Scene, notes.Take, notes.Tape, notes.Note, notes.Circled));
        Assert.Equal((Rate.Fps25, Rate.Fps25), (notes.Speed!.MasterSpeed, notes.Speed.CurrentSpeed));
        Assert.Equal((Rate.Ntsc30, true), (notes.Speed.TimecodeRate, notes.Speed.DropFrame));
        Assert.Equal((48_000, 48_000), (notes.Speed.FileSampleRateHz, notes.Speed.TimestampSampleRateHz));
        Assert.Equal("ropewalk-2-day2", notes.Family);
        Assert.Equal("Ines lav", notes.TrackName(0));
        Assert.Equal(new RecorderTrack(1, "Boom", "M-MID_SIDE"), notes.Tracks[1]);
        Assert.Null(notes.TrackName(2));
    }

    [Fact]
    public void AFileOfNoSet_HasNoFamily() =>
        Assert.Null(Read(Of(Whole.Replace("<TOTAL_FILES>2", "<TOTAL_FILES>1", StringComparison.Ordinal))).Notes!.Family);

    /// <summary>1·2³² + 591751049 = 4886718345 = 0x1_2345_6789, by hand; joining the digits would be another number.</summary>
    [Fact]
    public void SamplesSinceMidnight_AreTwoHalvesOf32Bits() =>
        Assert.Equal(0x1_2345_6789L, Read(Of(Whole)).Notes!.Speed!.SamplesSinceMidnight);

    /// <summary>Seen in files in the wild: decimal rates, rates with their counting, trailing zeros (common practice).</summary>
    [Theory]
    [InlineData("24000/1001", 24_000, 1_001)]
    [InlineData("23.98", 24_000, 1_001)]
    [InlineData("2997ND", 30_000, 1_001)]
    [InlineData("29.97DF", 30_000, 1_001)]
    [InlineData("25", 25, 1)]
    public void ARateWrittenOtherwise_IsUnderstood(string text, int numerator, int denominator) =>
        Assert.Equal(new Rate(numerator, denominator), Read(Of(Speed(text) + "\0\0\0 \0")).Notes!.Speed!.TimecodeRate);

    [Theory]
    [InlineData("")]
    [InlineData("fast")]
    [InlineData("25/0")]
    [InlineData("-25/1")]
    [InlineData("1e9")]
    public void ARateThatIsNone_IsPassedOver(string text) => Assert.Null(Read(Of(Speed(text))).Notes!.Speed!.TimecodeRate);

    [Theory]
    [InlineData("RF64")]
    [InlineData("BW64")]
    public void BehindTheSound_OfALargeFileForm_TheyAreFoundToo(string form)
    {
        byte[] file = WaveFile.Rf64(form, new byte[4001], WaveFile.Text("iXML", Whole));

        Assert.Equal("2", Read(file).Notes!.Take);
    }

    [Fact]
    public void WithoutTheChunk_ThereIsNeitherNotesNorProblem() =>
        Assert.Equal((null, null), Read(WaveFile.Of(WaveFile.Format, WaveFile.Chunk("data", new byte[8]))));

    [Theory]
    [InlineData("<BWFXML><SCENE>ropewalk</BWFXML>", "no proper XML")]
    [InlineData("no XML", "no proper XML")]
    [InlineData("", "no proper XML")]
    [InlineData("<HTML/>", "instead of BWFXML")]
    [InlineData("<!DOCTYPE BWFXML [<!ENTITY a SYSTEM \"file:///etc/hostname\">]><BWFXML><NOTE>&a;</NOTE></BWFXML>", "no proper XML")]
    [InlineData("<!DOCTYPE BWFXML [<!ENTITY a \"aaaaaaaa\"><!ENTITY b \"&a;&a;&a;\">]><BWFXML><NOTE>&b;</NOTE></BWFXML>", "no proper XML")]
    public void WhatIsMalformed_IsTold(string xml, string says)
    {
        (RecorderNotes? notes, string? problem) = Read(Of(xml));

        Assert.Null(notes);
        Assert.Contains(says, problem, StringComparison.Ordinal);
    }

    [Fact]
    public void AChunkThatClaimsTooMuch_IsTold()
    {
        byte[] cut = Of(Whole)[..400], huge = Of(Whole);
        int size = 12 + WaveFile.Format.Length + 4;
        huge.AsSpan(size, 4).Fill(0xFF);

        Assert.Contains("cut off", Read(cut).Problem, StringComparison.Ordinal);
        Assert.Contains("more than", Read(huge).Problem, StringComparison.Ordinal);
    }

    /// <summary>Whatever the bytes, the answer is notes, a problem or nothing, and soon.</summary>
    [Fact]
    public void DamagedFiles_NeverThrow()
    {
        var random = new Random(3);
        byte[] whole = WaveFile.Rf64("RF64", new byte[64], WaveFile.Text("iXML", Whole));
        int read = 0;
        for (int n = 0; n < 2000; n++)
        {
            byte[] damaged = [.. whole.Take(n % 2 == 0 ? whole.Length : random.Next(whole.Length + 1))];
            for (int i = 0; i < random.Next(8) && damaged.Length > 0; i++)
            {
                damaged[random.Next(damaged.Length)] = (byte)random.Next(256);
            }

            (RecorderNotes? notes, string? problem) = Read(damaged);
            Assert.False(notes is not null && problem is not null);
            read += notes is null ? 0 : 1;
        }

        Assert.InRange(read, 1, 1999);
    }

    [Fact]
    public async Task AProbedFile_HasItsNotes()
    {
        await File.WriteAllBytesAsync(
            _folder.File("1.WAV"), WaveFile.Of(WaveFile.Format, WaveFile.Text("iXML", Whole), WaveFile.Chunk("data", new byte[9600])));

        ProbeResult probed = await MediaProbe.ProbeAsync(_folder.Listed("1.WAV"), CancellationToken.None);

        Assert.Equal("Ines lav", probed.Media!.Notes!.TrackName(0));
    }

    private static byte[] Of(string xml) =>
        WaveFile.Of(WaveFile.Format, WaveFile.Text("iXML", xml), WaveFile.Chunk("data", new byte[8]));

    private static string Speed(string rate) =>
        $"<BWFXML><SPEED><TIMECODE_RATE>{rate}</TIMECODE_RATE></SPEED></BWFXML>";

    private static (RecorderNotes? Notes, string? Problem) Read(byte[] file)
    {
        using var stream = new MemoryStream(file);
        return RecorderNotesReader.Read(stream);
    }
}
