using SyncBench.Selection;

namespace SyncBench.Tests.Selection;

/// <summary>Where a fault ends, seen from a step inside it.</summary>
public class FaultSpansTests
{
    private const int Length = 200;
    private const int Inside = 20;
    private const int LastShown = 60;

    [Theory]
    [InlineData(0, LastShown)]
    [InlineData(40, LastShown + 20)]
    public void WhatIsNotKnown_IsHalvedBetweenInsideAndOutside(int hidden, int last) =>
        Assert.Equal(last, FaultSpans.HalfwayLastOf(step => Evidence(step, hidden), Length, Inside, 1, settled: 20));

    [Theory]
    [InlineData(0, LastShown)]
    [InlineData(40, LastShown)]
    public void TheLikeliestEnd_IsWhereItLastShows(int hidden, int last) =>
        Assert.Equal(last, FaultSpans.LastOf(step => Evidence(step, hidden), Length, Inside, 1));

    [Fact]
    public void AGapThatIsLongerThanAnyInside_EndsIt() => Assert.Equal(
        LastShown, FaultSpans.HalfwayLastOf(step => step > LastShown + 30 ? 2 : Evidence(step, hidden: 0), Length, Inside, 1, settled: 20));

    /// <summary>It shows, then there are steps that say nothing, then it is gone.</summary>
    private static float Evidence(int step, int hidden) => step <= LastShown ? 2 : step <= LastShown + hidden ? 0 : -2;
}
