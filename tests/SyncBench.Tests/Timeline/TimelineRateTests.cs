using SyncBench.Alignment;
using SyncBench.Tests.Support;
using SyncBench.Time;
using SyncBench.Timeline;

namespace SyncBench.Tests.Timeline;

public class TimelineRateTests
{
    [Fact]
    public void MostOfThePicture_Decides()
    {
        TimelineModel timeline = Of(Camera("CAM_A", new Rate(50), 60), Camera("CAM_B", Rate.Fps25, 50), Camera("CAM_C", Rate.Fps25, 20));

        Assert.Equal(Rate.Fps25, timeline.FrameRate);
    }

    /// <summary>What is not of the interview, long as it may be, does not count.</summary>
    [Fact]
    public void WhatRolledInTakes_Counts()
    {
        Placement bRoll = Camera("CAM_A", new Rate(50), 600), wide = Camera("CAM_B", Rate.Fps25, 60);
        var take = new Take("take 1", wide.CommonRange, [wide]);

        Assert.Equal(Rate.Fps25, TimelineRate.Of([bRoll with { Map = new ClockMap(MediaTime.FromSeconds(100), 0) }, wide], [take]));
    }

    [Fact]
    public void ARateStatedInDecimals_IsTheExactOne() =>
        Assert.Equal(Rate.Ntsc30, Of(Camera("CAM_A", new Rate(2_997, 100), 60)).FrameRate);

    [Fact]
    public void ARateWithoutTimecode_GivesTheNearestThatHasOne() =>
        Assert.Equal(new Rate(60), Of(Camera("CAM_A", new Rate(120), 60)).FrameRate);

    [Fact]
    public void WithoutPicture_ItIs25() =>
        Assert.Equal(Rate.Fps25, Of(CutExamples.Place(CutExamples.Recorder("RECORDER/A.WAV", 60), 0, 0)).FrameRate);

    private static TimelineModel Of(params Placement[] placed) => TimelineBuilder.Build(CutExamples.Result(placed));

    private static Placement Camera(string device, Rate rate, double seconds) =>
        CutExamples.Place(CutExamples.Camera($"{device}/C0001.MP4", device, device, rate, seconds), 0, 0);
}
