using System.Xml.Linq;
using SyncBench.Alignment;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Reporting;

/// <summary>The three answers on top of the page.</summary>
public class GlanceTests
{
    [Fact]
    public void OfAnInterviewWithTroubles_EachQuestionIsAnsweredByWhatSpeaksAgainstIt() => Assert.Equal(
        ["Is everything here?: No", "Is everything in sync?: Not all", "Must anything be recorded again?: Listen now"],
        Verdicts(ReportExamples.Interview()));

    [Fact]
    public void AFileThatCannotBeRead_MakesTheFirstAnswerNo_AndIsCounted()
    {
        XElement card = Cards(ReportExamples.OnlyUnreadable)[0];

        Assert.Equal("no", (string?)card.Attribute("class"));
        Assert.Contains("2 files of 2 cannot be read whole", ReportPage.Words(card), StringComparison.Ordinal);
    }

    [Fact]
    public void AVerdict_IsToldByWordAndShape_NotByColourAlone()
    {
        XElement[] cards = Cards(ReportExamples.Interview());

        Assert.All(cards, card => Assert.NotEmpty(ReportPage.Words(card.Elements("p").First())));
        Assert.All(cards, card => Assert.Single(card.Descendants("svg")));
    }

    [Fact]
    public void AClipWithoutSound_IsOnTheMap_WithWhatIsKnownOfItsPlace()
    {
        DumpResult result = ReportExamples.Interview();
        FileOutcome bRoll = result.Files.First(file => file is { Outcome: Outcome.SetAside, Clip: not null });
        FileOutcome sibling = result.Files.First(file => file.Outcome == Outcome.Placed && file.Clip!.Device == bRoll.Clip!.Device);
        DateTimeOffset noon = new(2026, 5, 14, 12, 0, 0, TimeSpan.Zero);
        FileOutcome Dated(FileOutcome file, DateTimeOffset? made) => file with
        {
            Clip = file.Clip! with { Media = file.Clip.Media with { StartTimecode = null, CreatedAt = made } },
        };
        FileOutcome dated = Dated(sibling, noon);
        dated = dated with { Placement = dated.Placement! with { Clip = dated.Clip! } };
        string Map(DateTimeOffset? made) => ReportPage.Section(
            ReportPage.Of(result with { Files = result.Files.Replace(bRoll, Dated(bRoll, made)).Replace(sibling, dated) }), "map");

        (string without, string with) = (Map(null), Map(noon.AddSeconds(20)));

        MediaTime there = sibling.Placement!.CommonRange.Start + MediaTime.FromSeconds(20);
        Assert.Contains($"{bRoll.File.Path}: no sound to match, place not known", without, StringComparison.Ordinal);
        Assert.Contains(
            $"{bRoll.File.Path}: no sound to match, about {SyncBench.Reporting.Figures.Clock(there)} on the common clock by the date of its file",
            with, StringComparison.Ordinal);
    }

    private static string[] Verdicts(DumpResult result) =>
        [.. Cards(result).Select(card => $"{card.Element("h3")!.Value}: {ReportPage.Words(card.Elements("p").First()).Split(' ', 2)[1]}")];

    private static XElement[] Cards(DumpResult result) =>
        [.. ReportPage.Element(ReportPage.Of(result), "glance").Descendants("section")];
}
