using System.Text;
using System.Text.Json;
using SyncBench.Intake;
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
    public void TheArithmeticOfTimes_ComesOut(int numerator, int denominator, string timecode) =>
        Written(CutExamples.Hour(new Rate(numerator, denominator), timecode)).File.CheckArithmetic();

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

    /// <summary>The file's times are at its own rate; how long a clip is on the track is in samples of 48 kHz.</summary>
    [Theory]
    [InlineData(96_000)]
    [InlineData(44_100)]
    public void SoundOfAnotherRate_IsCountedAtItsOwn(int rateHz)
    {
        Clip recorder = CutExamples.Recorder("RECORDER/1.WAV", 60, timeReference: 3600L * rateHz, sampleRateHz: rateHz);

        (_, OtioReader file) = Written(CutExamples.Result([CutExamples.Place(recorder, 0, 0)]));

        OtioItem clip = file.Tracks[^1].Clips.Single();
        Assert.Equal(3600L * rateHz, clip.Available!.StartValue);
        Assert.Equal(60 * rateHz, clip.Available!.DurationValue);
        Assert.Equal(60 * 48_000, clip.Source.DurationValue);
        Assert.Equal(3600, clip.Source.Start);
    }

    [Fact]
    public void SoundOfAFileWithSeveralChannels_HasTheChannelInItsName()
    {
        (_, OtioReader file) = Written(CutExamples.Hour());

        Assert.Equal(["TALLOWICK_001", "A001C001 channel 2", "TALLOWICK_001"], file.Tracks[2].Clips.Select(clip => clip.Name));
    }

    /// <summary>
    /// The effect of the format that tells speed: "time_scalar" seconds of the file in one of the track, whose length it
    /// does not change.
    /// </summary>
    [Theory]
    [MemberData(nameof(Rates))]
    public void WhereSpeedMayChange_ADriftingMicIsOneClipAtItsOwnSpeed(int numerator, int denominator, string timecode)
    {
        var settings = new TimelineSettings(SoundDrift: DriftCorrection.Warp);
        TimelineModel timeline = TimelineBuilder
            .Timelines(CutExamples.Hour(new Rate(numerator, denominator), timecode), settings).Single();
        OtioReader file = OtioReader.Read(Bytes(timeline));

        file.CheckArithmetic();
        foreach ((TimelineTrack track, OtioTrack written) in timeline.Tracks.Zip(file.Tracks).Where(t => t.First.Kind == TrackKind.Sound))
        {
            foreach ((TimelineItem item, OtioItem clip) in track.Items.Zip(written.Clips))
            {
                foreach (decimal after in new[] { 0, clip.Source.Duration / 2, clip.Source.Duration })
                {
                    MediaTime common = timeline.Start + MediaTime.FromSeconds((double)(clip.At + after));
                    double wanted = item.Placement.ToMicTime(item.Mic!, common).ToSeconds();
                    double most = clip.TimeScalar == 1 ? 0.2501 * denominator / numerator : 3.0 / 48_000;
                    Assert.Equal(wanted, (double)clip.FileTime(after), most);
                }
            }
        }

        OtioItem[] shotgun = [.. file.Tracks.Single(track => track.Name == "shotgun (CAM_B channel 2)").Clips];
        Assert.Equal(1 / (1 - 30e-6), Assert.Single(shotgun).TimeScalar, 2e-8); // two samples of an hour
        Assert.Equal(1, file.Tracks.Single(track => track.Name.StartsWith("lavalier", StringComparison.Ordinal)).Clips.Single().TimeScalar);
        Assert.All(file.Tracks.Where(track => track.Kind == "Video").SelectMany(track => track.Clips), clip => Assert.Equal(1, clip.TimeScalar));
    }

    /// <summary>45 ppm of 200 s are 9 ms: less than a quarter of a frame at 25, more than a tenth.</summary>
    [Theory]
    [InlineData(0.25, false)]
    [InlineData(0.1, true)]
    public void ADriftBelowTheSetting_IsLeft(double driftFrames, bool warps)
    {
        Clip wide = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", Rate.Fps25, 200);
        var settings = new TimelineSettings(SoundDrift: DriftCorrection.Warp, DriftFrames: driftFrames);

        TimelineModel timeline = TimelineBuilder.Timelines(CutExamples.Result([CutExamples.Place(wide, 0, 45)]), settings).Single();

        Assert.Equal(warps, OtioReader.Read(Bytes(timeline)).Tracks[^1].Clips.Any(clip => clip.TimeScalar != 1));
    }

    /// <summary>Each take begins at the timecode that it has on the one timeline, and shows the same at the same timecode.</summary>
    [Theory]
    [MemberData(nameof(Rates))]
    public void TakesByThemselves_ShowWhatTheWholeShows(int numerator, int denominator, string timecode)
    {
        DumpResult result = CutExamples.TwoTakes(new Rate(numerator, denominator), timecode);
        OtioReader whole = Written(result).File;
        using var stream = new MemoryStream();
        OtioWriter.WriteCollection(
            stream, result.Name, TimelineBuilder.Timelines(result, new TimelineSettings(Takes: TakeLayout.Nested)), "/results");
        (string name, OtioReader[] takes) = OtioReader.ReadCollection(stream.ToArray());

        Assert.Equal("ropewalk-day2", name);
        Assert.Equal(["take 1", "take 2", "outside takes"], takes.Select(take => take.Name));
        foreach (OtioReader take in takes)
        {
            take.CheckArithmetic();
            decimal shift = take.GlobalStart.Seconds - whole.GlobalStart.Seconds;
            foreach (OtioTrack track in take.Tracks.Where(track => track.Clips.Any()))
            {
                OtioTrack same = whole.Tracks.Single(other => other.Name == track.Name);
                foreach (OtioItem clip in track.Clips)
                {
                    decimal middle = clip.At + shift + (clip.Source.Duration / 2);
                    OtioItem there = same.Clips.Single(other => other.At <= middle && middle < other.At + other.Source.Duration);
                    decimal most = track.Kind == "Video" ? 1e-9m : 0.51m / numerator * denominator;
                    Assert.Equal(there.Url, clip.Url);
                    Assert.InRange(there.FileTime(middle - there.At) - clip.FileTime(clip.Source.Duration / 2), -most, most);
                }
            }
        }

        Assert.Equal(["middle"], takes[0].Tracks.Single(track => track.Name == "Dialogue").Clips.Select(clip => clip.Ours.GetProperty("reason").GetString()!));
        Assert.Equal(["late"], takes[1].Tracks.Single(track => track.Name == "Dialogue").Clips.Select(clip => clip.Ours.GetProperty("reason").GetString()!));
        Assert.Equal("A001C003", takes[2].Tracks[0].Clips.Single().Name);
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
            File.ReadAllText(Repository.File("fixtures/timeline/short.otio")).TrimEnd('\n'),
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
