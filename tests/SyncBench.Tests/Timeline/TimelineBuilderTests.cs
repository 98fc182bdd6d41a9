using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Time;
using SyncBench.Timeline;

namespace SyncBench.Tests.Timeline;

public class TimelineBuilderTests
{
    public static TheoryData<int, int> Rates => new()
    {
        { 25, 1 }, { 24_000, 1_001 }, { 30_000, 1_001 }, { 50, 1 },
    };

    [Fact]
    public void Tracks_AreAnglesThenDialogueThenEveryMic()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());

        Assert.Equal(
            [
                "wide (CAM_A)", "close (CAM_B)", "Dialogue", "lavalier (RECORDER channel 1)",
                "shotgun (CAM_A channel 2)", "shotgun (CAM_B channel 2)", "scratch (CAM_A channel 1)",
                "scratch (CAM_B channel 1)",
            ],
            timeline.Tracks.Select(track => track.Name));
        Assert.Equal([true, true, true], timeline.Tracks.Take(3).Select(track => track.Enabled));
        Assert.DoesNotContain(timeline.Tracks.Skip(3), track => track.Enabled);
    }

    /// <summary>Frame by frame against the definition: what is shown is the frame whose place is nearest.</summary>
    [Theory]
    [MemberData(nameof(Rates))]
    public void EveryFrameOfAnHour_IsTheNearestOfItsClip(int numerator, int denominator)
    {
        var rate = new Rate(numerator, denominator);
        var half = MediaTime.FromUnits(1, new Rate(2 * numerator, denominator));
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour(rate));

        foreach (TimelineTrack track in timeline.Tracks.Take(2))
        {
            MediaTime worst = MediaTime.Zero;
            foreach (TimelineItem item in track.Items)
            {
                for (long frame = 0; frame < item.RecordRange.Duration.ToNearestUnit(rate); frame++)
                {
                    var at = MediaTime.FromUnits(frame, rate);
                    MediaTime wanted = item.Placement.Map.ToClip(timeline.Start + item.RecordRange.Start + at);
                    MediaTime off = MediaTime.Abs(wanted - (item.SourceStart + at));
                    Assert.True(off <= half, $"{track.Name}: {off}");
                    worst = MediaTime.Max(worst, off);
                }
            }

            Assert.Equal(worst, Assert.Single(timeline.Residuals, r => r.Clip == track.Items[0].Clip).Worst);
        }

        Assert.Equal(timeline.Residuals.Max(residual => residual.Worst), timeline.WorstResidual);
    }

    [Fact]
    public void TheFirstFrameOfTheFirstCamera_SitsExactly()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());
        TimelineItem first = timeline.Tracks[0].Items[0];

        Assert.Equal(MediaTime.Zero, first.SourceStart);
        Assert.Equal(first.Placement.Map.Offset, timeline.Start + first.RecordRange.Start);
    }

    /// <summary>Frames at 0, 11 and 17 ms of a grid of 40: half way between the outermost, each is 8.5 ms off at most.</summary>
    [Fact]
    public void TheGrid_LiesWhereTheWorstFrameIsNearest()
    {
        Clip first = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", Rate.Fps25, 60);
        Clip second = CutExamples.Camera("CAM_A/2.MP4", "CAM_A", "wide", Rate.Fps25, 60);
        Clip close = CutExamples.Camera("CAM_B/1.MP4", "CAM_B", "close", Rate.Fps25, 60);

        TimelineModel timeline = Build(
            CutExamples.Place(close, 0, 0), CutExamples.Place(first, 1.011, 0), CutExamples.Place(second, 100.017, 0));

        Assert.InRange(timeline.WorstResidual.ToMilliseconds(), 8.45, 8.7);
        Assert.InRange(timeline.Residuals.Single(r => r.Clip == first).Worst.ToMilliseconds(), 2.2, 2.8);
    }

    /// <summary>No phase on a finer search does better; the definition of the residual is that of every frame above.</summary>
    [Theory]
    [InlineData(25, 1, 50, 1)]
    [InlineData(25, 1, 24_000, 1_001)]
    [InlineData(24_000, 1_001, 25, 1)]
    [InlineData(30_000, 1_001, 60_000, 1_001)]
    public void OfMixedRates_NoOtherPhaseIsBetter(int wideNumerator, int wideDenominator, int closeNumerator, int closeDenominator)
    {
        Clip wide = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", new Rate(wideNumerator, wideDenominator), 60);
        Clip close = CutExamples.Camera("CAM_B/1.MP4", "CAM_B", "close", new Rate(closeNumerator, closeDenominator), 50);
        Placement[] placed = [CutExamples.Place(wide, 0.3333, 2), CutExamples.Place(close, 4.7654, -3)];

        TimelineModel timeline = Build(placed);

        Assert.Equal(TimecodeFormat.Standard(wide.Media.Video[0].FrameRate), timeline.FrameRate);
        double least = Enumerable.Range(0, 1999).Min(step =>
        {
            var grid = new FrameGrid(timeline.FrameRate, timeline.Start - MediaTime.FromSeconds(step / (1999 * timeline.FrameRate.PerSecond)));
            return placed.Max(p => PicturePieces.Worst(p, grid).ToMilliseconds());
        });
        Assert.InRange(timeline.WorstResidual.ToMilliseconds(), 0, least + 0.25);
    }

    /// <summary>As a phone records: the mean rate is no grid, so frames are counted at the timeline's.</summary>
    [Fact]
    public void APhoneOfVariableRate_RunsInRealTime_AndDoesNotDecideTheRate()
    {
        Clip wide = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", Rate.Fps25, 60);
        Clip phone = CutExamples.Camera("PHONE/1.MP4", "PHONE", "side", new Rate(30), 120, "10:00:00:00");
        phone = phone with { Media = phone.Media with { Video = [phone.Media.Video[0] with { IsVariableRate = true }] } };

        TimelineModel timeline = Build(CutExamples.Place(wide, 0, 0), CutExamples.Place(phone, 1.5, 0));

        Assert.Equal(Rate.Fps25, timeline.FrameRate);
        TimelineItem item = timeline.Tracks.Single(track => track.Name == "side (PHONE)").Items.Single();
        Assert.InRange(item.RecordRange.Duration.ToSeconds(), 119.9, 120);
        Assert.InRange(OffPicture(timeline, item), -0.0201, 0.0201);
    }

    [Fact]
    public void ARateThatIsAskedFor_IsTheTimelines()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour(), new TimelineSettings(FrameRate: 23.976));

        Assert.Equal(new Rate(24_000, 1_001), timeline.FrameRate);
        Assert.All(timeline.Residuals, residual => Assert.InRange(residual.Worst.ToSeconds(), 0, 0.0201));
    }

    /// <summary>45 ppm are 162 ms an hour, four frames at 25: so many cuts, and each leaves out one frame or repeats one.</summary>
    [Theory]
    [InlineData(45, -1)]
    [InlineData(-45, 1)]
    public void DriftOfAnHour_IsMadeUpByCutsOfOneFrame(double ppm, long frames)
    {
        Clip wide = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", Rate.Fps25, 3600);
        TimelineTrack track = Build(CutExamples.Place(wide, 0, ppm)).Tracks[0];

        Assert.Equal(5, track.Items.Length);
        foreach ((TimelineItem before, TimelineItem after) in track.Items.Zip(track.Items.Skip(1)))
        {
            Assert.Equal(before.RecordRange.End, after.RecordRange.Start);
            MediaTime jump = after.SourceStart - (before.SourceStart + before.RecordRange.Duration);
            Assert.Equal(MediaTime.FromUnits(frames, Rate.Fps25), jump);
        }
    }

    [Fact]
    public void AClockThatDoesNotDrift_IsNotCut()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());

        Assert.Single(timeline.Tracks.Single(track => track.Name.StartsWith("lavalier", StringComparison.Ordinal)).Items);
    }

    /// <summary>A rate known to a millionth of a ppm must neither cut nor hang.</summary>
    [Theory]
    [InlineData(0.0)]
    [InlineData(1e-9)]
    [InlineData(-1e-9)]
    public void ARateOfNearlyNothing_LeavesPictureAndSoundWhole(double ppm)
    {
        Clip wide = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", Rate.Fps25, 3600);

        Assert.All(
            Build(CutExamples.Place(wide, 0.013, ppm)).Tracks.Where(track => track.Name != "Dialogue"),
            track => Assert.Single(track.Items));
    }

    /// <summary>Second by second: a quarter of a frame, and the nanosecond of a measured time.</summary>
    [Theory]
    [MemberData(nameof(Rates))]
    public void SoundOfADriftingClock_IsNeverMoreThanAQuarterFrameOff(int numerator, int denominator)
    {
        var rate = new Rate(numerator, denominator);
        double quarter = (0.25 / rate.PerSecond) + 2e-9;
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour(rate));

        foreach (TimelineItem item in timeline.Tracks.Skip(2).SelectMany(track => track.Items))
        {
            Assert.InRange(OffSeconds(timeline, item, item.RecordRange.Duration), -quarter, quarter);
            for (MediaTime at = MediaTime.Zero; at < item.RecordRange.Duration; at += MediaTime.FromSeconds(1))
            {
                Assert.InRange(OffSeconds(timeline, item, at), -quarter, quarter);
            }
        }
    }

    [Fact]
    public void APieceOfSound_IsExactInItsMiddle()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());
        TimelineTrack shotgun = timeline.Tracks.Single(t => t.Name == "shotgun (CAM_A channel 2)");

        // The outermost pieces are trimmed to what the file holds.
        TimelineItem[] inner = [.. shotgun.Items.Skip(1).SkipLast(1)];
        Assert.NotEmpty(inner);
        Assert.All(inner, item => Assert.InRange(
            OffSeconds(timeline, item, MediaTime.FromSeconds(item.RecordRange.Duration.ToSeconds() / 2)), -2e-9, 2e-9));
    }

    /// <summary>Where files of one recording meet, a sample missing clicks and a frame missing is a hole.</summary>
    [Theory]
    [InlineData(0, 25, 1)]
    [InlineData(0, 30_000, 1_001)]
    [InlineData(0.001, 25, 1)]
    [InlineData(37, 24_000, 1_001)]
    [InlineData(-37, 25, 1)]
    [InlineData(120, 60_000, 1_001)]
    [InlineData(-120, 30_000, 1_001)]
    public void WhereFilesOfOneMicMeet_NoSampleIsMissing(double ppm, int numerator, int denominator)
    {
        var rate = new Rate(numerator, denominator);
        DumpResult result = CutExamples.Split(ppm, rate, [20_000_003, 400_001, 30_000_007]);
        foreach (TimelineSettings settings in new[] { TimelineSettings.Usual, new(SoundDrift: DriftCorrection.Warp) })
        {
            TimelineModel timeline = TimelineBuilder.Timelines(result, settings).Single();
            foreach (TimelineTrack track in timeline.Tracks.Where(track => track.Name is "Dialogue" or "lavalier (RECORDER channel 1)"))
            {
                Assert.Equal(3, track.Items.Select(item => item.Clip).Distinct().Count());
                Assert.All(track.Items.Zip(track.Items.Skip(1)), pair => Assert.Equal(pair.First.RecordRange.End, pair.Second.RecordRange.Start));
                double most = (0.25 / rate.PerSecond) + (1.0 / 48_000);
                foreach (TimelineItem item in track.Items)
                {
                    Assert.True(item.SourceStart >= MediaTime.Zero);
                    Assert.True(item.SourceAt(item.RecordRange.Duration) <= item.Clip.Duration);
                    Assert.InRange(OffSeconds(timeline, item, MediaTime.Zero), -most, most);
                    Assert.InRange(OffSeconds(timeline, item, item.RecordRange.Duration), -most, most);
                }
            }
        }
    }

    /// <summary>100 ppm at 25 frames: at most 200 s a piece. The one quiet moment before that is taken.</summary>
    [Fact]
    public void SoundIsCutInPauses()
    {
        Clip wide = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", Rate.Fps25, 300);
        Placement placed = CutExamples.Place(wide, 0, 100);
        var source = new MicSource(placed, wide.Mics[1]);
        float[] level = [.. Enumerable.Repeat(-20f, 3000)];
        level.AsSpan(1610, 12).Fill(-60); // 161.0 to 162.2 s
        var curve = new MicCurve(source, MediaTime.Zero, MediaTime.FromMilliseconds(100), [.. level], [.. level], [.. level]);
        var take = new TakeSound(
            new Take("take 1", placed.CommonRange, [placed]), [new Segment(placed.CommonRange, source, "alone")], [], [curve]);

        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Result([placed], take));

        foreach (string name in new[] { "Dialogue", "shotgun (CAM_A channel 2)" })
        {
            TimelineTrack track = timeline.Tracks.Single(track => track.Name == name);
            Assert.Equal(2, track.Items.Length);
            Assert.InRange(track.Items[1].RecordRange.Start.ToSeconds(), 161.1, 162.1);
        }
    }

    [Fact]
    public void SoundWithoutDrift_IsLaidWholeAndToTheNanosecond()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());
        TimelineItem lavalier = timeline.Tracks.Single(t => t.Name == "lavalier (RECORDER channel 1)").Items.Single();

        Assert.InRange(lavalier.RecordRange.Duration.ToSeconds(), 3700 - (2.0 / 48_000), 3700);
        Assert.InRange(OffSeconds(timeline, lavalier, MediaTime.Zero), -2e-9, 2e-9);
    }

    [Fact]
    public void Dialogue_IsTheChosenMicOnWholeFrames()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());
        TimelineTrack dialogue = timeline.Tracks[2];

        Assert.Equal([MicRole.Lavalier, MicRole.Shotgun, MicRole.Lavalier], dialogue.Items.Select(i => i.Mic!.Role));
        Assert.Equal("shotgun: lavalier has rustle", dialogue.Items[1].Note);
        Assert.All(dialogue.Items, item => Assert.True(IsWhole(item.RecordRange.Start) && IsWhole(item.RecordRange.End)));
        Assert.Equal(dialogue.Items[0].RecordRange.End, dialogue.Items[1].RecordRange.Start);
        Assert.Equal(dialogue.Items[1].RecordRange.End, dialogue.Items[2].RecordRange.Start);
    }

    [Theory]
    [MemberData(nameof(Rates))]
    public void Items_LieInsideTheirFiles_AndDoNotOverlap(int numerator, int denominator)
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour(new Rate(numerator, denominator)));
        foreach (TimelineTrack track in timeline.Tracks)
        {
            MediaTime free = MediaTime.Zero;
            foreach (TimelineItem item in track.Items)
            {
                Assert.True(item.RecordRange.Start >= free);
                Assert.False(item.RecordRange.IsEmpty);
                Assert.True(item.SourceStart >= MediaTime.Zero);
                Assert.True(item.SourceStart + item.RecordRange.Duration <= item.Clip.Duration);
                free = item.RecordRange.End;
            }

            Assert.True(free <= timeline.Duration);
        }
    }

    [Fact]
    public void ClipsOfADeviceThatOverlapByTheErrorOfTheirPlaces_LieEndToEnd()
    {
        Clip first = CutExamples.Recorder("RECORDER/1.WAV", 60), second = CutExamples.Recorder("RECORDER/2.WAV", 60);

        TimelineTrack mic = Build(CutExamples.Place(first, 0, 0), CutExamples.Place(second, 59.9995, 0)).Tracks[^1];

        Assert.Equal(mic.Items[0].RecordRange.End, mic.Items[1].RecordRange.Start);
        Assert.Equal(0.0005, mic.Items[1].SourceStart.ToSeconds(), 1e-9);
    }

    [Fact]
    public void APlacedClipOutsideEveryTake_HasItsPlace_AndTheGapBeforeItStays()
    {
        Clip wide = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", Rate.Fps25, 60);
        Clip late = CutExamples.Camera("CAM_A/2.MP4", "CAM_A", "wide", Rate.Fps25, 10);

        TimelineTrack track = Build(CutExamples.Place(wide, 0, 0), CutExamples.Place(late, 5000, 0)).Tracks[0];

        Assert.Equal(MediaTime.FromSeconds(5000), track.Items[1].RecordRange.Start);
    }

    [Theory]
    [InlineData(Outcome.CheckByEar)]
    [InlineData(Outcome.SetAside)]
    public void AClipThatIsNotPlaced_IsOnNoTrack(Outcome outcome)
    {
        DumpResult hour = CutExamples.Hour();
        FileOutcome close = hour.Files.Single(f => f.Clip!.Device.Name == "CAM_B");

        TimelineModel timeline = TimelineBuilder.Build(hour with
        {
            Files = hour.Files.Replace(close, close with { Outcome = outcome }),
        });

        Assert.DoesNotContain(timeline.Tracks.SelectMany(track => track.Items), item => item.Clip == close.Clip);
    }

    [Fact]
    public void OfADumpInWhichNothingIsPlaced_TheTimelineIsEmpty()
    {
        TimelineModel timeline = Build();

        Assert.Equal(MediaTime.Zero, timeline.Duration);
        Assert.Empty(timeline.Tracks.SelectMany(track => track.Items));
    }

    [Fact]
    public void PictureThatBeginsAfterTheSound_IsLaidFromItsFirstFrame()
    {
        MediaTime late = MediaTime.FromSeconds(0.021);
        Clip wide = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", Rate.Fps25, 60, pictureLate: late);

        TimelineModel timeline = Build(CutExamples.Place(wide, 3, 0));
        TimelineItem picture = timeline.Tracks[0].Items.Single();

        Assert.Equal(late, picture.SourceStart);
        Assert.Equal(MediaTime.FromSeconds(3.021), timeline.Start + picture.RecordRange.Start);
        Assert.Equal(MediaTime.FromSeconds(60), picture.RecordRange.Duration);
    }

    /// <summary>Time bases of 1/11988, 1/44100 and a nanosecond have no common fraction of 64 bits over a day.</summary>
    [Fact]
    public void StreamsOfOddTimeBases_DoNotOverflow()
    {
        Clip wide = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", Rate.Ntsc30, 20_000);
        MediaInfo media = wide.Media with
        {
            Origin = MediaTime.FromUnits(-1_024, new Rate(44_100)),
            Duration = MediaTime.FromSeconds(20_000),
            Video = [wide.Media.Video[0] with { Start = MediaTime.FromUnits(401, new Rate(11_988)) }],
        };

        TimelineModel timeline = Build(CutExamples.Place(wide with { Media = media }, 70_000.123456789, 45));

        Assert.Equal(
            (1_024 / 44_100.0) + (401 / 11_988.0), timeline.Tracks[0].Items[0].SourceStart.ToSeconds(), 1e-9);
        Assert.InRange(timeline.WorstResidual.ToSeconds(), 0.016, 0.5 * 1_001 / 30_000);
    }

    [Fact]
    public void ACameraAtAnotherRate_RunsInRealTimeWithinHalfOfItsFrames()
    {
        Clip wide = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", Rate.Fps25, 3600);
        Clip film = CutExamples.Camera("CAM_B/1.MP4", "CAM_B", "close", new Rate(24_000, 1_001), 3500);

        TimelineModel timeline = Build(CutExamples.Place(wide, 0, 0), CutExamples.Place(film, 10.01, 30));

        Assert.Equal(Rate.Fps25, timeline.FrameRate);
        foreach (TimelineItem item in timeline.Tracks[1].Items)
        {
            MediaTime wanted = item.Placement.Map.ToClip(timeline.Start + item.RecordRange.Start);
            Assert.InRange((wanted - item.SourceStart).ToSeconds(), -0.5 * 1001 / 24_000, 0.5 * 1001 / 24_000);
            Assert.Equal(
                item.SourceStart, MediaTime.FromUnits(item.SourceStart.ToNearestUnit(new Rate(24_000, 1_001)), new Rate(24_000, 1_001)));
        }
    }

    [Fact]
    public void FaultsAndChangesOfMic_AreMarked()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());

        TimelineMarker fault = Assert.Single(timeline.Markers, marker => marker.Kind == MarkerKind.Fault);
        Assert.Equal("rustle on lavalier", fault.Name);
        Assert.Equal(30.1, fault.RecordRange.Duration.ToSeconds(), 0.04);
        Assert.Equal(
            ["lavalier: both clean", "shotgun: lavalier has rustle", "lavalier: both clean"],
            timeline.Markers.Where(marker => marker.Kind == MarkerKind.MicChange).Select(marker => marker.Comment));
    }

    [Theory]
    [InlineData("10:00:00;02", "10:00:00:00", true)]
    [InlineData("10:00:00:00", "10:00:00;02", false)]
    [InlineData(null, "10:00:00;02", true)]
    [InlineData(null, null, false)]
    public void DropFrame_IsCountedAsInTheFirstCameraThatHasTimecode(string? wide, string? close, bool drop)
    {
        Clip first = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", Rate.Ntsc30, 60, wide);
        Clip second = CutExamples.Camera("CAM_B/1.MP4", "CAM_B", "close", Rate.Ntsc30, 60, close);

        TimelineModel timeline = Build(CutExamples.Place(second, 0, 0), CutExamples.Place(first, 0, 0));

        Assert.Equal(drop, timeline.Numbering.DropFrame);
        Assert.Equal(drop ? 107_892 : 108_000, timeline.FirstFrame);
    }

    [Theory]
    [MemberData(nameof(Rates))]
    public void TheDuration_IsWholeInFramesAndInSamples(int numerator, int denominator)
    {
        var rate = new Rate(numerator, denominator);
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour(rate));

        Assert.Equal(timeline.Duration, MediaTime.FromUnits(timeline.Duration.ToNearestUnit(rate), rate));
        Assert.Equal(timeline.Duration, MediaTime.FromUnits(timeline.Duration.ToNearestUnit(Rate.Hz48000), Rate.Hz48000));
    }

    private static TimelineModel Build(params Placement[] placed) => TimelineBuilder.Build(CutExamples.Result(placed));

    private static bool IsWhole(MediaTime time) => time == MediaTime.FromUnits(time.ToNearestUnit(Rate.Fps25), Rate.Fps25);

    private static double OffPicture(TimelineModel timeline, TimelineItem item) =>
        (item.Placement.Map.ToClip(timeline.Start + item.RecordRange.Start) - item.SourceStart).ToSeconds();

    /// <summary>How far from its place a piece of sound is heard, <paramref name="at"/> into it.</summary>
    private static double OffSeconds(TimelineModel timeline, TimelineItem item, MediaTime at)
    {
        MediaTime wanted = item.Placement.ToMicTime(item.Mic!, timeline.Start + item.RecordRange.Start + at);
        return (wanted - item.SourceAt(at)).ToSeconds();
    }
}
