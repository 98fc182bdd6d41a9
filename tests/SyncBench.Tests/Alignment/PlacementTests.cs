using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Alignment;

public class PlacementTests
{
    private static readonly Clip Camera = CutExamples.Camera("CAM_A/A001C001.MP4", "CAM_A", "wide", Rate.Fps25, 3600);
    private static readonly Placement Placed = CutExamples.Place(Camera, offset: 12.5, ppm: 45);

    [Theory]
    [InlineData(0)]
    [InlineData(1800.25)]
    [InlineData(3599.9)]
    public void ToMicTime_IsTheClipTime_LaterByTheMicsDelay(double seconds)
    {
        MediaTime clip = MediaTime.FromSeconds(seconds);
        MediaTime common = Placed.Map.ToCommon(clip);

        Assert.InRange((Placed.ToMicTime(Camera.Mics[0], common) - clip).ToSeconds(), -2e-9, 2e-9);
        Assert.InRange((Placed.ToMicTime(Camera.Mics[1], common) - clip).ToSeconds(), -0.006 - 2e-9, -0.006 + 2e-9);
    }

    [Fact]
    public void AMicThatWasNotMeasured_IsTakenToHearWithItsClip()
    {
        Placement unmeasured = Placed with { MicDelays = [] };

        Assert.Equal(MediaTime.Zero, unmeasured.ToMicTime(Camera.Mics[1], unmeasured.Map.Offset));
    }

    /// <summary>45 ppm of an hour are 162 ms.</summary>
    [Fact]
    public void CommonRange_IsAsLongAsTheClipOnTheCommonClock() =>
        Assert.Equal(TimeRange.Between(MediaTime.FromSeconds(12.5), MediaTime.FromSeconds(3612.662)), Placed.CommonRange);
}
