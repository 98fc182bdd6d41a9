using SyncBench.Time;

namespace SyncBench.Tests.Time;

public class TimeRangeTests
{
    private static TimeRange Range(double from, double to) =>
        TimeRange.Between(MediaTime.FromSeconds(from), MediaTime.FromSeconds(to));

    [Fact]
    public void TheEnd_IsOutside()
    {
        TimeRange range = Range(1, 2);

        Assert.True(range.Contains(MediaTime.FromSeconds(1)));
        Assert.False(range.Contains(MediaTime.FromSeconds(2)));
        Assert.Equal(MediaTime.FromSeconds(2), range.End);
    }

    [Fact]
    public void RangesThatTouch_ShareNothing() => Assert.True(Range(1, 2).Intersect(Range(2, 3)).IsEmpty);

    [Fact]
    public void RangesThatLieApart_ShareNothing() => Assert.True(Range(1, 2).Intersect(Range(5, 6)).IsEmpty);

    [Fact]
    public void WhatOverlaps_IsShared() => Assert.Equal(Range(2, 3), Range(1, 3).Intersect(Range(2, 5)));

    [Fact]
    public void BetweenCrossedInstants_NothingLies()
    {
        TimeRange crossed = Range(3, 1);

        Assert.True(crossed.IsEmpty);
        Assert.Equal(MediaTime.Zero, crossed.Duration);
    }
}
