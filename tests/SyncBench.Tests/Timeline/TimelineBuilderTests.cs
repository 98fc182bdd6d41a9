using SyncBench.Alignment;
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

    [Theory]
    [MemberData(nameof(Rates))]
    public void EveryFrameOfAnHour_LiesWithinHalfAFrameOfItsPlace(int numerator, int denominator)
    {
        var rate = new Rate(numerator, denominator);
        DumpResult result = CutExamples.Hour(rate);
        TimelineModel timeline = TimelineBuilder.Build(result);

        foreach (TimelineItem item in timeline.Tracks.Take(2).SelectMany(track => track.Items))
        {
            Placement placement = result.Files.Single(f => f.Clip == item.Clip).Placement!;
            foreach (MediaTime at in new[] { MediaTime.Zero, item.RecordRange.Duration - rate.Unit })
            {
                double off = (placement.Map.ToCommon(item.SourceStart + at) - Common(timeline, result, item.RecordRange.Start + at))
                    .ToSeconds();
                Assert.InRange(off, -0.5001 / rate.PerSecond, 0.5001 / rate.PerSecond);
            }
        }

        Assert.All(timeline.Residuals, residual => Assert.InRange(residual.Worst.ToSeconds(), 0, 0.5001 / rate.PerSecond));
    }

    [Fact]
    public void TheFirstFrameOfTheFirstCamera_SitsExactly()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());
        TimelineItem first = timeline.Tracks[0].Items[0];

        Assert.Equal(MediaTime.Zero, first.SourceStart);
        Assert.Equal(first.RecordRange.Start, MediaTime.FromUnits(first.RecordRange.Start.ToNearestUnit(Rate.Fps25), Rate.Fps25));
    }

    /// <summary>45 ppm are 162 ms an hour, four frames at 25: so many cuts, and no frame more or less than the file has.</summary>
    [Fact]
    public void DriftOfAnHour_IsMadeUpByCuts()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());

        Assert.Equal(5, timeline.Tracks[0].Items.Length);
    }

    [Fact]
    public void SoundOfADriftingClock_IsNeverMoreThanAQuarterFrameOff()
    {
        DumpResult result = CutExamples.Hour();
        TimelineModel timeline = TimelineBuilder.Build(result);

        foreach (TimelineItem item in timeline.Tracks.Skip(2).SelectMany(track => track.Items))
        {
            Placement placement = result.Files.Single(f => f.Clip == item.Clip).Placement!;
            foreach (MediaTime at in new[] { MediaTime.Zero, item.RecordRange.Duration })
            {
                MediaTime heard = placement.ToMicTime(item.Mic!, Common(timeline, result, item.RecordRange.Start + at));
                Assert.InRange((heard - item.SourceStart - at).ToSeconds(), -0.01003, 0.01003);
            }
        }
    }

    [Fact]
    public void Dialogue_IsTheChosenMicOnWholeFrames()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());
        TimelineTrack dialogue = timeline.Tracks[2];

        Assert.Equal(["lavalier", "shotgun", "lavalier"], dialogue.Items.Select(i => SyncBench.Media.MicRoleWords.InWords(i.Mic!.Role)));
        Assert.All(dialogue.Items, item => Assert.Equal(
            item.RecordRange.Start, MediaTime.FromUnits(item.RecordRange.Start.ToNearestUnit(Rate.Fps25), Rate.Fps25)));
        Assert.Equal(dialogue.Items[0].RecordRange.End, dialogue.Items[1].RecordRange.Start);
    }

    [Fact]
    public void Items_LieInsideTheirFiles_AndDoNotOverlap()
    {
        foreach (TimelineTrack track in TimelineBuilder.Build(CutExamples.Hour()).Tracks)
        {
            MediaTime free = MediaTime.Zero;
            foreach (TimelineItem item in track.Items)
            {
                Assert.True(item.RecordRange.Start >= free);
                Assert.True(item.SourceStart >= MediaTime.Zero);
                Assert.True(item.SourceStart + item.RecordRange.Duration <= item.Clip.Duration);
                free = item.RecordRange.End;
            }
        }
    }

    [Fact]
    public void FaultsAndChangesOfMic_AreMarked()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());

        TimelineMarker fault = Assert.Single(timeline.Markers, marker => marker.IsFault);
        Assert.Equal("cloth rustle on lavalier", fault.Name);
        Assert.Equal(3, timeline.Markers.Count(marker => !marker.IsFault));
    }

    /// <summary>The timeline's zero is the frame of the first camera's grid at or before the earliest clip.</summary>
    private static MediaTime Common(TimelineModel timeline, DumpResult result, MediaTime onTimeline)
    {
        TimelineItem first = timeline.Tracks[0].Items[0];
        Placement camera = result.Files.Single(f => f.Clip == first.Clip).Placement!;
        return camera.Map.ToCommon(MediaTime.Zero) - first.RecordRange.Start + onTimeline;
    }
}
