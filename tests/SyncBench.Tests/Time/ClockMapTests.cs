using SyncBench.Time;

namespace SyncBench.Tests.Time;

public class ClockMapTests
{
    /// <summary>50 ppm are 180 ms an hour.</summary>
    [Fact]
    public void AFastClock_GainsOverAnHour()
    {
        var map = new ClockMap(MediaTime.FromSeconds(10), 50);

        Assert.Equal(3610.18, map.ToCommon(MediaTime.FromSeconds(3600)).ToSeconds(), 1e-9);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(57.3)]
    [InlineData(-1000)]
    public void ToClip_UndoesToCommon(double ppm)
    {
        var map = new ClockMap(MediaTime.FromSeconds(-12.5), ppm);
        MediaTime clip = MediaTime.FromUnits(123_456_789, Rate.Hz48000);

        MediaTime off = map.ToClip(map.ToCommon(clip)) - clip;

        Assert.InRange(off.ToSeconds(), -2e-9, 2e-9);
    }

    [Fact]
    public void WithoutDrift_NothingIsRounded()
    {
        var map = new ClockMap(MediaTime.FromUnits(1, Rate.Ntsc30), 0);
        MediaTime clip = MediaTime.FromUnits(1, new Rate(44_100));

        Assert.Equal(Rate.Ntsc30.Unit + clip, map.ToCommon(clip));
        Assert.Equal(clip, map.ToClip(map.ToCommon(clip)));
    }
}
