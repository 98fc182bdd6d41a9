using SyncBench.Alignment;
using SyncBench.Reporting;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Reporting;

public class ActionListTests
{
    [Fact]
    public void OfAnInterviewWithTroubles_TheUnreadableFileComesFirst() => Assert.Equal(
        ["Files that cannot be read", "Stretches in which every mic has a fault", "Files to check by ear"],
        ActionList.Of(ReportExamples.Interview()).Select(action => action.What));

    [Fact]
    public void OfAnInterviewWithoutTroubles_NothingNeedsDoing_AndThePageSaysSo()
    {
        DumpResult calm = Calm();

        Assert.Empty(ActionList.Of(calm));
        Assert.Contains("Nothing needs you", ReportPage.Section(ReportPage.Of(calm), "act"), StringComparison.Ordinal);
    }

    [Fact]
    public void EveryUnreadableFile_IsNamedWithItsReason() => Assert.Equal(
        ReportExamples.OnlyUnreadable.Files.Select(file => $"{file.File.Path}: {file.Reason}"),
        Assert.Single(ActionList.Of(ReportExamples.OnlyUnreadable)).Where);

    [Theory]
    [InlineData(99.9, false)]
    [InlineData(-99.9, false)]
    [InlineData(100.1, true)]
    [InlineData(-100.1, true)]
    public void AClock_IsUnusualBeyondAHundredPpm(double ppm, bool unusual)
    {
        DumpResult calm = Calm();

        Assert.Equal(
            unusual, !ActionList.Of(calm with { Clocks = calm.Clocks.SetItem(1, calm.Clocks[1] with { Ppm = ppm }) }).IsEmpty);
    }

    [Fact]
    public void APlacementBelowTheUsualCertainty_IsTold()
    {
        DumpResult calm = Calm();
        FileOutcome first = calm.Files[0];
        FileOutcome unsure = first with { Placement = first.Placement! with { Certainty = 0.97 } };

        Assert.Equal(
            "CAM_A/A001.mp4: 97\u00a0%",
            Assert.Single(Assert.Single(ActionList.Of(calm with { Files = calm.Files.SetItem(0, unsure) })).Where));
    }

    [Fact]
    public void CamerasThatShareNoSound_AreTold() => Assert.Equal(
        "Nothing rolls together", Assert.Single(ActionList.Of(Calm() with { Takes = [] })).What);

    /// <summary>In take 2 lavalier, shotgun and both scratch mics fail together from 332 s, when the last joins, to 345 s.</summary>
    [Fact]
    public void EveryMicIsFaulty_OnlyWhileTheLastGoodOneIsToo() => Assert.Equal(
        [ReportExamples.Range(332, 345)], EveryMicFaulty.Of(ReportExamples.Interview().Takes[1]));

    [Fact]
    public void AMicThatDoesNotRoll_IsNoRescue()
    {
        TakeSound take = ReportExamples.Interview().Takes[0];
        Placement recorder = take.Take.Placements[0];
        TakeSound alone = take with
        {
            Take = take.Take with { Placements = [recorder, take.Take.Placements[2]] },
            Faults = [new Fault(FaultKind.Dropout, ReportExamples.Source(recorder), ReportExamples.Range(6, 20))],
        };

        // Camera B rolls from 9.120404 s on; before, the recorder's dropout leaves nothing.
        TimeRange silent = Assert.Single(EveryMicFaulty.Of(alone));
        Assert.Equal((take.Take.CommonRange.Start, take.Take.Placements[2].CommonRange.Start), (silent.Start, silent.End));
    }

    private static DumpResult Calm()
    {
        DumpResult all = ReportExamples.Interview();
        return all with
        {
            Files = [.. all.Files.Where(file => file.Outcome is Outcome.Placed or Outcome.SetAside)],
            Takes = [all.Takes[0]],
        };
    }
}
