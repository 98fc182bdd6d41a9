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

    [Fact]
    public void WhatWasLost_LiesBetweenTheStretches()
    {
        ClockMap map = WithJump(0.04);

        Assert.Equal(105, map.ToCommon(MediaTime.FromSeconds(5)).ToSeconds(), 1e-9);
        Assert.Equal(110.04, map.ToCommon(MediaTime.FromSeconds(10)).ToSeconds(), 1e-9);
        Assert.Equal(112.04, map.ToCommon(MediaTime.FromSeconds(12)).ToSeconds(), 1e-9);
        Assert.Equal(9.99, map.ToClip(MediaTime.FromSeconds(109.99)).ToSeconds(), 1e-9);
        Assert.Equal(10, map.ToClip(MediaTime.FromSeconds(110.02)).ToSeconds(), 1e-9);
        Assert.Equal(12, map.ToClip(MediaTime.FromSeconds(112.04)).ToSeconds(), 1e-9);
    }

    [Fact]
    public void OfSoundThatCameTwice_TheFirstIsMeant()
    {
        ClockMap map = WithJump(-0.04);

        Assert.Equal(109.97, map.ToCommon(MediaTime.FromSeconds(10.01)).ToSeconds(), 1e-9);
        Assert.Equal(9.97, map.ToClip(MediaTime.FromSeconds(109.97)).ToSeconds(), 1e-9);
        Assert.Equal(10.05, map.ToClip(MediaTime.FromSeconds(110.01)).ToSeconds(), 1e-9);
    }

    [Theory]
    [InlineData(0.04)]
    [InlineData(-0.04)]
    public void EachStretch_HasAStraightMapOfItsOwn(double lost)
    {
        ClockMap map = WithJump(lost, ppm: 30);
        var stretches = map.Stretches(MediaTime.FromSeconds(20)).ToList();

        Assert.Equal(2, stretches.Count);
        Assert.Equal(stretches[0].OnClip.End, stretches[1].OnClip.Start);
        foreach ((TimeRange onClip, ClockMap straight) in stretches)
        {
            MediaTime inside = onClip.Start + MediaTime.FromSeconds(3);
            Assert.Empty(straight.Jumps.IsDefault ? [] : straight.Jumps);
            Assert.Equal(map.ToCommon(inside).ToSeconds(), straight.ToCommon(inside).ToSeconds(), 2e-9);
        }
    }

    private static ClockMap WithJump(double lost, double ppm = 0) => new(
        MediaTime.FromSeconds(100), ppm, [new ClockJump(MediaTime.FromSeconds(10), MediaTime.FromSeconds(lost))]);
}
