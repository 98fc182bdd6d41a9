using System.Collections.Immutable;
using System.Xml.Linq;
using SyncBench.Alignment;
using SyncBench.Reporting;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Reporting;

public class PlotTests
{
    private const int Most = 1500;

    [Fact]
    public void AnAxis_TicksAtRoundTimesInsideItsRange()
    {
        var axis = new TimeAxis(ReportExamples.Range(6.48, 242.9), 100, 900);

        Assert.Equal(
            new[] { 30, 60, 90, 120, 150, 180, 210, 240 }.Select(seconds => MediaTime.FromSeconds(seconds)), axis.Ticks(MediaTime.Zero));
    }

    [Fact]
    public void AnAxis_PutsTimesWhereTheyBelong()
    {
        var axis = new TimeAxis(ReportExamples.Range(100, 200), 50, 250);

        Assert.Equal((50, 150, 250), (axis.At(MediaTime.FromSeconds(100)), axis.At(MediaTime.FromSeconds(150)), axis.At(MediaTime.FromSeconds(200))));
        Assert.Equal(250, axis.Within(MediaTime.FromSeconds(300)));
    }

    [Theory]
    [InlineData(2)]
    [InlineData(600)]
    [InlineData(8 * 3600)]
    [InlineData(40 * 86400)]
    public void AnAxis_NeverCrowdsItsLabels(double seconds)
    {
        var axis = new TimeAxis(ReportExamples.Range(0.5, 0.5 + seconds), Plot.Left, Plot.Right);

        double[] ticks = [.. axis.Ticks(MediaTime.Zero).Select(axis.At)];

        Assert.InRange(ticks.Length, 1, 12);
        Assert.All(ticks.Zip(ticks.Skip(1)), pair => Assert.True(pair.Second - pair.First > 60));
    }

    /// <summary>The chosen mic of the second segment is the shotgun, whose example curve is 7 dB below the lavalier's.</summary>
    [Fact]
    public void TheLevelPicture_FollowsTheChosenMic()
    {
        TakeSound take = ReportExamples.Interview().Takes[0];
        LevelCurve curve = LevelCurve.OfChosenMic(take);
        double perSecond = curve.LevelDb.Length / take.Take.CommonRange.Duration.ToSeconds();
        int from = (int)((78.2 - 6.48) * perSecond) + 1, to = (int)((99.6 - 6.48) * perSecond) - 1;

        Assert.Equal(-33, curve.LevelDb[from..to].Max(), 1.0);
        Assert.Equal(-26, curve.LevelDb[..(from - 2)].Max(), 1.0);
    }

    [Fact]
    public void EightHours_DrawNoMoreThanAPlotCanShow()
    {
        TakeSound take = ReportExamples.Interview().Takes[0];
        Placement recorder = take.Take.Placements[0];
        TimeRange range = ReportExamples.Range(0, 8 * 3600);
        Placement camera = take.Take.Placements[1] with
        {
            Votes = [.. Enumerable.Range(0, 14_400).Select(i => new LagVote(MediaTime.FromSeconds(i), MediaTime.FromMilliseconds(i % 7 * 0.01), true))],
        };
        ImmutableArray<float> steps = [.. Enumerable.Range(0, 8 * 3600 * 4).Select(i => -30f - (i % 50))];
        MicSource source = ReportExamples.Source(recorder);
        DumpResult dump = ReportExamples.Interview() with
        {
            Takes =
            [
                new TakeSound(
                    new Take("take 1", range, [recorder, camera]), [new Segment(range, source, "the only mic")], [],
                    [new MicCurve(source, MediaTime.Zero, MediaTime.FromMilliseconds(250), steps, steps, steps)]),
            ],
        };

        XElement page = ReportPage.Of(dump);

        Assert.InRange(page.Descendants("path").Max(path => ((string)path.Attribute("d")!).Count(verb => verb is 'M' or 'L')), 500, Most);
        Assert.InRange(page.Descendants("circle").Count(circle => (string?)circle.Attribute("class") == "vote"), 500, Most + 1);
        // The page of an hour may weigh 5 MB; eight hours already weigh less.
        Assert.InRange(Written.Html(dump).Length, 50_000, 5_000_000);
        Assert.Contains("One in 10 is drawn.", ReportPage.Section(page, "take-1"), StringComparison.Ordinal);
    }

    [Fact]
    public void AVoteThatDidNotCount_HasAnotherShape()
    {
        DumpResult result = ReportExamples.Interview();
        Take take = result.Takes[0].Take;
        LagVote[] votes = [.. take.Placements.SelectMany(placement => placement.Votes.Where(
            vote => take.CommonRange.Contains(placement.Map.ToCommon(vote.At))))];
        XElement[] plots = [.. ReportPage.Element(ReportPage.Of(result), "take-1").Descendants("svg")
            .Where(svg => svg.Element("title")!.Value.Contains("against its line", StringComparison.Ordinal))];

        int discs = plots.Elements("circle").Count();
        int crossesAndArrows = plots.Elements("path").Count(path => (string?)path.Attribute("class") is "passed-over" or "beyond");

        Assert.Equal((votes.Count(vote => vote.Counted), votes.Count(vote => !vote.Counted)), (discs, crossesAndArrows));
    }

    [Fact]
    public void EveryFault_IsDrawnWithItsPatternAndItsName()
    {
        DumpResult result = ReportExamples.Interview();
        XElement[] drawn = [.. ReportPage.Element(ReportPage.Of(result), "take-2").Descendants("rect")
            .Where(rect => ((string?)rect.Attribute("class"))?.StartsWith("fault ", StringComparison.Ordinal) == true)];

        Assert.Equal(result.Takes[1].Faults.Length, drawn.Length);
        Assert.All(drawn, rect => Assert.Contains(
            ((string)rect.Attribute("class")!)["fault ".Length..], rect.Parent!.Element("title")!.Value, StringComparison.Ordinal));
    }
}
