using System.Globalization;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using SyncBench.Reporting;
using SyncBench.Selection;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Reporting;

public partial class HtmlReportTests
{
    public static TheoryData<string> Examples => SyncJsonTests.Examples;

    [Fact]
    public void Answers_StandInATable_AndWhereTheyCannotBeToldTheReasonDoes()
    {
        XElement page = ReportPage.Of(ReportExamples.Interview());
        XElement first = page.Descendants("section").Single(section => (string?)section.Attribute("id") == "take-1");
        XElement second = page.Descendants("section").Single(section => (string?)section.Attribute("id") == "take-2");
        string[] rows = [.. first.Descendants("table").First().Descendants("tbody").Elements("tr").Select(row => string.Join(" | ", row.Elements().Select(cell => cell.Value)))];

        Assert.Matches(@"^question 1 \| 0:00:02 to 0:00:05 \| 0:00:08 to 0:00:12 \| 3\.5\xA0s \| −\d+\.\d dBFS \| 0:00:02 \| –$", rows[0]);
        Assert.Matches(
            @"^answer 1 \| 0:00:06 to 0:00:08 \| 0:00:12 to 0:00:14 \| 1\.5\xA0s \| −\d+\.\d dBFS \| 0:00:06 \| possible restart: short, and begun again at once$", rows[1]);
        Assert.Contains("No answers are listed: it was not asked who speaks.", second.Value, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Examples))]
    public void ThePage_NeedsNothingBesideItself(string example)
    {
        XElement page = ReportPage.Of(SyncJsonTests.Example(example));
        string style = page.Descendants("style").Single().Value;

        Assert.DoesNotContain(page.Descendants(), e => e.Name.LocalName is "script" or "link" or "iframe" or "img" or "object" or "embed" or "base" or "form");
        Assert.All(
            page.Descendants().Attributes().Where(a => a.Name.LocalName is "src" or "href" or "data" or "action" or "poster"),
            a => Assert.StartsWith("#", a.Value, StringComparison.Ordinal));
        Assert.DoesNotContain("@import", style, StringComparison.Ordinal);
        Assert.All(Urls().Matches(style), url => Assert.StartsWith("url(#", url.Value, StringComparison.Ordinal));
    }

    [Theory]
    [MemberData(nameof(Examples))]
    public void EveryDrawing_HasATitle_AndEveryPlotADescription(string example)
    {
        XElement page = ReportPage.Of(SyncJsonTests.Example(example));
        XElement[] drawings = [.. page.Descendants("svg")];

        Assert.All(drawings, svg => Assert.NotEqual(string.Empty, svg.Element("title")!.Value));
        Assert.All(drawings, svg => Assert.True((string?)svg.Attribute("role") == "img" ^ (string?)svg.Attribute("aria-hidden") == "true"));
        Assert.All(
            drawings.Where(svg => svg.Attribute("role") is not null),
            svg => Assert.Equal(
                ((string)svg.Attribute("aria-labelledby")!).Split(' '),
                new[] { "title", "desc" }.Select(name => (string)svg.Element(name)!.Attribute("id")!)));
    }

    [Theory]
    [MemberData(nameof(Examples))]
    public void EveryId_IsOfOneElement(string example)
    {
        string[] ids = [.. ReportPage.Of(SyncJsonTests.Example(example)).Descendants().Attributes("id").Select(id => id.Value)];

        Assert.Equal(ids.Distinct(), ids);
    }

    [Theory]
    [MemberData(nameof(Examples))]
    public void Headings_SkipNoLevel(string example)
    {
        int[] levels = [.. ReportPage.Of(SyncJsonTests.Example(example)).Descendants()
            .Where(e => e.Name.LocalName is ['h', >= '1' and <= '6']).Select(e => e.Name.LocalName[1] - '0')];

        Assert.Equal(1, levels[0]);
        Assert.All(levels.Zip(levels.Skip(1)), pair => Assert.True(pair.Second <= pair.First + 1 && pair.Second > 1));
    }

    [Theory]
    [MemberData(nameof(Examples))]
    public void EveryHeaderCell_SaysWhatItHeads(string example) => Assert.All(
        ReportPage.Of(SyncJsonTests.Example(example)).Descendants("th"),
        th => Assert.Contains((string?)th.Attribute("scope"), new[] { "col", "row" }));

    [Fact]
    public void ANameFromACard_IsShownButNeverMarkup()
    {
        XElement page = ReportPage.Of(ReportExamples.Hostile());
        string files = ReportPage.Section(page, "files");

        Assert.All(ReportExamples.HostileNames, name => Assert.Contains(
            name.Replace('\t', '␉').Replace('\r', '␍').Replace('\n', '␊'), files, StringComparison.Ordinal));
        Assert.DoesNotContain(page.Descendants().Attributes(), a => a.Name.LocalName.StartsWith("on", StringComparison.Ordinal));
        Assert.Equal("<i>dump</i> & \"co\"", page.Descendants("h1").Single().Value);
    }

    [Theory]
    [MemberData(nameof(Examples))]
    public void WhereThereIsNoNumber_ThePageNeverSaysNaN(string example) =>
        Assert.DoesNotContain("NaN", Written.Html(SyncJsonTests.Example(example)), StringComparison.Ordinal);

    [Fact]
    public void PageTableAndJson_TellTheSameFigures()
    {
        DumpResult result = ReportExamples.Interview();
        XElement[] page = [.. ReportPage.Element(ReportPage.Of(result), "files").Descendants("tbody").Single().Elements("tr")];
        List<Dictionary<string, string>> csv = CsvTests.Rows(Written.Text(result, ClipsCsv.Write));
        JsonArray json = JsonNode.Parse(Written.Json(result))!["files"]!.AsArray();

        Assert.Equal((csv.Count, csv.Count), (page.Length, json.Count));
        for (int i = 0; i < csv.Count; i++)
        {
            string[] cells = [.. page[i].Elements().Select(cell => cell.Value)];
            Assert.Equal((csv[i]["file"], csv[i]["reason"]), (cells[0], cells[^1]));
            Assert.Equal((csv[i]["file"], csv[i]["reason"]), ((string?)json[i]!["path"], (string?)json[i]!["reason"]));
            Assert.EndsWith(csv[i]["outcome"], cells[3], StringComparison.Ordinal);
            if (csv[i]["outcome"] != "placed")
            {
                Assert.Equal("–", cells[4]);
                continue;
            }

            decimal start = decimal.Parse(csv[i]["start_s"], CultureInfo.InvariantCulture);
            Assert.Equal(start, Math.Round((decimal)json[i]!["placement"]!["start_s"]!, 6));
            Assert.Equal(Math.Round(start, 3), (decimal)TimeSpan.ParseExact(cells[4], @"h\:mm\:ss\.fff", CultureInfo.InvariantCulture).TotalSeconds);
            Assert.Equal(
                decimal.Parse(csv[i]["rate_ppm"], CultureInfo.InvariantCulture), (decimal)json[i]!["placement"]!["rate_ppm"]!);
        }
    }

    [Fact]
    public void ADrift_IsToldAsWhatItWouldHaveCost()
    {
        // 11.42 ppm of 236.4027 s are 2.7 ms; −7.81 ppm of it are 1.8 ms.
        string words = ReportPage.Section(ReportPage.Of(ReportExamples.Interview()), "take-1");

        Assert.Contains("+11.42 ppm, standard error 0.06 ppm. Without correction it would be 2.7 ms out", Flat(words), StringComparison.Ordinal);
        Assert.Contains("−7.81 ppm, standard error 0.09 ppm. Without correction it would be 1.8 ms out", Flat(words), StringComparison.Ordinal);
    }

    /// <summary>
    /// Sources: ITU-R BT.1359-1, detectability of sound +45 ms early and −125 ms late; 1 m at 343.2 m/s (20 °C) is 2.9 ms.
    /// </summary>
    [Fact]
    public void ACameraWithoutADistance_IsHeldAgainstTheLimitsOfLipSync()
    {
        string words = ReportPage.Section(ReportPage.Of(ReportExamples.Interview()), "take-1");

        Assert.Contains("no distance is set for CAM_A and CAM_B", words, StringComparison.Ordinal);
        Assert.Contains("by 2.9 ms for each metre", words, StringComparison.Ordinal);
        Assert.Contains("125 ms late and 45 ms early, so the late limit would be reached at 42 metres", words, StringComparison.Ordinal);
    }

    [Fact]
    public void AnEmptyDump_SaysSo() => Assert.Contains(
        "the dump holds no files", ReportPage.Section(ReportPage.Of(ReportExamples.Empty), "act"), StringComparison.Ordinal);

    [Theory]
    [MemberData(nameof(Examples))]
    public void ThePage_AlwaysAsksToKeepTheCards(string example) => Assert.Contains(
        "Keep the cards until two copies exist",
        ReportPage.Section(ReportPage.Of(SyncJsonTests.Example(example)), "act"), StringComparison.Ordinal);

    private static string Flat(string words) => Spaces().Replace(words, " ");

    [GeneratedRegex(@"url\([^)]*", RegexOptions.NonBacktracking)]
    private static partial Regex Urls();

    [GeneratedRegex(@"\s+", RegexOptions.NonBacktracking)]
    private static partial Regex Spaces();
}
