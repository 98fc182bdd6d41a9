using System.Text;
using System.Text.Json;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Time;
using SyncBench.Timeline;

namespace SyncBench.Tests.Timeline;

/// <summary>The file as a reader of the open format sees it; where its rules come from is told in <see cref="OtioReader"/>.</summary>
public class OtioWriterTests
{
    public static TheoryData<int, int, string> Rates => new()
    {
        { 25, 1, "10:00:00:00" }, { 24_000, 1_001, "10:00:00:00" }, { 30_000, 1_001, "10:00:00;00" },
        { 30_000, 1_001, "10:00:00:00" }, { 50, 1, "10:00:00:00" },
    };

    [Theory]
    [MemberData(nameof(Rates))]
    public void EveryTrack_IsAsLongAsTheTimeline_ToTheFrameAndSample(int numerator, int denominator, string timecode)
    {
        (TimelineModel timeline, OtioReader file) = Written(CutExamples.Hour(new Rate(numerator, denominator), timecode));

        decimal length = (decimal)timeline.Duration.Numerator / timeline.Duration.Denominator;
        Assert.Equal(timeline.Tracks.Length, file.Tracks.Count);
        Assert.All(file.Tracks, track => Assert.Equal(length, track.Duration, 15));
    }

    [Theory]
    [MemberData(nameof(Rates))]
    public void SourceRanges_LieInsideAvailableRanges(int numerator, int denominator, string timecode)
    {
        (_, OtioReader file) = Written(CutExamples.Hour(new Rate(numerator, denominator), timecode));

        Assert.All(file.Tracks.SelectMany(track => track.Clips), clip =>
        {
            Assert.True(clip.Source.Start >= clip.Available!.Start - 1e-15m, clip.Name);
            Assert.True(clip.Source.End <= clip.Available.End + 1e-15m, clip.Name);
        });
    }

    /// <summary>Summed along the track, each clip comes to lie where the model has it: picture exactly, sound within half a sample.</summary>
    [Theory]
    [MemberData(nameof(Rates))]
    public void Clips_LieWhereTheCutHasThem(int numerator, int denominator, string timecode)
    {
        (TimelineModel timeline, OtioReader file) = Written(CutExamples.Hour(new Rate(numerator, denominator), timecode));

        foreach ((TimelineTrack track, OtioTrack written) in timeline.Tracks.Zip(file.Tracks))
        {
            Assert.Equal(track.Name, written.Name);
            Assert.Equal(track.Enabled, written.Enabled);
            Assert.Equal(track.Items.Length, written.Clips.Count());
            double tolerance = track.Kind == TrackKind.Picture ? 1e-9 : 0.500001 / 48_000;
            foreach ((TimelineItem item, OtioItem clip) in track.Items.Zip(written.Clips))
            {
                Assert.Equal(item.RecordRange.Start.ToSeconds(), (double)clip.At, tolerance);
                Assert.Equal(item.RecordRange.End.ToSeconds(), (double)(clip.At + clip.Source.Duration), tolerance);

                // Which instant of the file is heard or seen at which of the timeline.
                double shift = (item.SourceStart - item.RecordRange.Start).ToSeconds();
                Assert.Equal(shift, (double)(clip.Source.Start - clip.Available!.Start - clip.At), tolerance);
            }
        }
    }

    [Fact]
    public void SourceTimes_AreInTheNumberingOfTheFile()
    {
        (_, OtioReader file) = Written(CutExamples.Hour(timecode: "10:00:00:00"));

        // 10 h of frames at 25, the same instant in samples, an hour of samples of the time reference, none.
        Assert.Equal(900_000, file.Tracks[0].Clips.First().Available!.StartValue);
        Assert.Equal(36_000L * 48_000, file.Tracks.Single(t => t.Name.StartsWith("scratch (CAM_A", StringComparison.Ordinal)).Clips.First().Available!.StartValue);
        Assert.Equal(172_800_000, file.Tracks.Single(t => t.Name.StartsWith("lavalier", StringComparison.Ordinal)).Clips.Single().Available!.StartValue);
        Assert.Equal(0, file.Tracks[1].Clips.First().Available!.StartValue);
    }

    /// <summary>01:00:00;00 is frame 107,892 (SMPTE ST 12-1, see Standards/TimecodeOfSt12Tests).</summary>
    [Fact]
    public void DropFrameLabels_BecomeFrameCounts()
    {
        (_, OtioReader file) = Written(CutExamples.Hour(Rate.Ntsc30, "01:00:00;00"));

        Assert.Equal(107_892, file.Tracks[0].Clips.First().Source.StartValue);
        Assert.Equal(107_892, file.GlobalStart.Value);
    }

    [Fact]
    public void WherePictureBeginsLate_ItsTimecodeStillNamesItsFirstFrame()
    {
        Clip wide = CutExamples.Camera(
            "CAM_A/1.MP4", "CAM_A", "wide", Rate.Fps25, 60, "10:00:00:00", pictureLate: MediaTime.FromSeconds(0.02));

        (_, OtioReader file) = Written(CutExamples.Result([CutExamples.Place(wide, 0, 0)]));

        Assert.Equal(900_000, file.Tracks[0].Clips.Single().Source.StartValue);
        Assert.Equal((36_000L * 48_000) - 960, file.Tracks[^1].Clips.Single().Available!.StartValue);
    }

    [Fact]
    public void SoundOfAnyRate_IsCountedIn48000ths()
    {
        Clip recorder = CutExamples.Recorder("RECORDER/1.WAV", 60, timeReference: 96_000L * 3600, sampleRateHz: 96_000);

        (_, OtioReader file) = Written(CutExamples.Result([CutExamples.Place(recorder, 0, 0)]));

        OtioRange available = file.Tracks[^1].Clips.Single().Available!;
        Assert.Equal(172_800_000, available.StartValue);
        Assert.Equal(60 * 48_000, available.DurationValue);
    }

    [Fact]
    public void Rates_AreTheExactDoubles()
    {
        string text = Encoding.UTF8.GetString(Bytes(TimelineBuilder.Build(CutExamples.Hour(Rate.Ntsc30, "10:00:00;00"))));

        Assert.Contains("\"rate\": 29.97002997002997,", text, StringComparison.Ordinal);
        Assert.Contains("\"rate\": 48000.0,", text, StringComparison.Ordinal);
    }

    [Fact]
    public void OneOfTheVoice_IsHeard_AndBothPicturesAreThere()
    {
        (_, OtioReader file) = Written(CutExamples.Hour());

        Assert.Equal(["Dialogue"], file.Tracks.Where(t => t is { Kind: "Audio", Enabled: true }).Select(t => t.Name));
        Assert.Equal(2, file.Tracks.Count(t => t is { Kind: "Video", Enabled: true }));
        Assert.Equal(2, file.Tracks[2].Clips.ElementAt(1).Ours.GetProperty("channel").GetInt32());
        Assert.Equal("shotgun", file.Tracks[2].Clips.ElementAt(1).Ours.GetProperty("mic").GetString());
        Assert.Equal("shotgun: lavalier has rustle", file.Tracks[2].Clips.ElementAt(1).Ours.GetProperty("reason").GetString());
    }

    [Fact]
    public void Markers_LieOnTheTimelinesFrames()
    {
        (TimelineModel timeline, OtioReader file) = Written(CutExamples.Hour());

        Assert.Equal(timeline.Markers.Select(m => (m.Name, m.Comment)), file.Markers.Select(m => (m.Name, m.Comment)));
        Assert.Equal(
            timeline.Markers.Select(m => m.RecordRange.Start.ToSeconds()), file.Markers.Select(m => (double)m.Range.Start));
    }

    [Fact]
    public void AnswersAndQuestions_AreMarkersOfTheDialogueTrack()
    {
        (_, OtioReader file) = Written(ReportExamples.Interview());

        OtioTrack dialogue = file.Tracks.Single(track => track.Name == "Dialogue");
        Assert.Equal(
            [("question 1", "PURPLE"), ("answer 1, possible restart", "GREEN"), ("answer 2", "GREEN")],
            dialogue.Markers.Select(marker => (marker.Name, marker.Color)));
        Assert.All(dialogue.Markers, marker => Assert.Equal("take 1", marker.Comment));
        Assert.Equal([3.5m, 1.5m, 105.5m], dialogue.Markers.Select(marker => Math.Round(marker.Range.Duration * 25) / 25), new NearFrame());
        Assert.All(file.Tracks.Where(track => track != dialogue), track => Assert.Empty(track.Markers));
    }

    /// <summary>Both ends are rounded to frames of 25 a second.</summary>
    private sealed class NearFrame : IEqualityComparer<decimal>
    {
        public bool Equals(decimal x, decimal y) => Math.Abs(x - y) <= 0.04m;

        public int GetHashCode(decimal obj) => 0;
    }

    [Fact]
    public void ResidualsOfTheFrameGrid_AreTold()
    {
        (TimelineModel timeline, OtioReader file) = Written(CutExamples.Hour());

        JsonElement residuals = file.Ours.GetProperty("frame_grid_residual_ms");
        Assert.InRange(residuals.GetProperty("CAM_B/B001C001.MOV").GetDouble(), 0, 20);
        Assert.Equal(
            timeline.WorstResidual.ToMilliseconds(), file.Ours.GetProperty("worst_frame_grid_residual_ms").GetDouble(), 0.001);
    }

    [Theory]
    [InlineData("CAM_A/Ropewalk day 2 #1?.MP4", "../dumps/ropewalk-day2/CAM_A/Ropewalk%20day%202%20%231%3F.MP4")]
    [InlineData("CAM_A/Tjære 100%.MP4", "../dumps/ropewalk-day2/CAM_A/Tj%C3%A6re%20100%25.MP4")]
    [InlineData("CAM_A/10:00 縄.MP4", "../dumps/ropewalk-day2/CAM_A/10%3A00%20%E7%B8%84.MP4")]
    [InlineData("CAM_A/two\nlines \"&<>\\.MP4", "../dumps/ropewalk-day2/CAM_A/two%0Alines%20%22%26%3C%3E%5C.MP4")]
    public void Links_AreRelativeAndEncoded(string file, string url)
    {
        (_, OtioReader written) = Written(CutExamples.Hour(wideFile: file));

        Assert.Equal(url, written.Tracks[0].Clips.First().Url);
    }

    /// <summary>RFC 3986, section 5.2: how a reader resolves a relative reference; System.Uri is an implementation of it.</summary>
    [Theory]
    [InlineData("CAM_A/Ropewalk day 2 #1?.MP4")]
    [InlineData("CAM_A/Tjære 100%.MP4")]
    [InlineData("CAM_A/100%25.MP4")]
    public void Links_LeadBackToTheFile(string file)
    {
        (_, OtioReader written) = Written(CutExamples.Hour(wideFile: file));

        var resolved = new Uri(new Uri("file:///results/timeline.otio"), written.Tracks[0].Clips.First().Url);
        Assert.Equal("/dumps/ropewalk-day2/" + file, Uri.UnescapeDataString(resolved.AbsolutePath));
    }

    [Fact]
    public void AnEmptyTimeline_IsStillAFile() => Assert.Single(Written(CutExamples.Result([])).File.Tracks);

    [Fact]
    public void TheCulture_ChangesNothing()
    {
        byte[] before = Bytes(TimelineBuilder.Build(CutExamples.Hour(Rate.Ntsc30, "10:00:00;00")));
        using var german = Culture.German();

        Assert.Equal(before, Bytes(TimelineBuilder.Build(CutExamples.Hour(Rate.Ntsc30, "10:00:00;00"))));
    }

    /// <summary>Read by eye once against the format's documents; changed only together with a reason.</summary>
    [Fact]
    public void AShortTimeline_IsThisFile() =>
        Assert.Equal(
            File.ReadAllText(Fixture.Path("timeline", "short.otio")).TrimEnd('\n'),
            Encoding.UTF8.GetString(Bytes(TimelineBuilder.Build(CutExamples.Short()))));

    private static byte[] Bytes(TimelineModel timeline)
    {
        using var stream = new MemoryStream();
        OtioWriter.Write(stream, timeline, "/results");
        return stream.ToArray();
    }

    private static (TimelineModel Timeline, OtioReader File) Written(DumpResult result)
    {
        TimelineModel timeline = TimelineBuilder.Build(result);
        return (timeline, OtioReader.Read(Bytes(timeline)));
    }
}
