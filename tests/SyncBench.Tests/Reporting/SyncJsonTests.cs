using System.Text.Json;
using System.Text.Json.Nodes;
using Json.Schema;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Timeline;

namespace SyncBench.Tests.Reporting;

/// <summary>The schema is JSON Schema draft 2020-12; JsonSchema.Net judges by it.</summary>
public class SyncJsonTests
{
    private static readonly JsonSchema Schema = JsonSchema.FromText(File.ReadAllText(Repository.File("docs/sync.schema.json")));

    public static TheoryData<string> Examples => ["interview", "hostile", "empty", "only unreadable"];

    [Theory]
    [MemberData(nameof(Examples))]
    public void WhatIsWritten_FollowsTheSchema(string example)
    {
        EvaluationResults judged = Judge(JsonNode.Parse(Written.Json(Example(example)))!);

        Assert.True(judged.IsValid, Wrong(judged));
    }

    /// <summary>The innermost places that fail: the whole judgement is megabytes.</summary>
    private static string Wrong(EvaluationResults judged) => string.Join('\n', (judged.Details ?? [])
        .Where(part => !part.IsValid && part.Errors is not null)
        .Select(part => $"{part.InstanceLocation}: {string.Join(", ", part.Errors!.Values)}"));

    [Theory]
    [InlineData("version", 2)]
    [InlineData("version", null)]
    [InlineData("unheard_of", 1)]
    public void TheSchema_RefusesWhatIsNotOfThisVersion(string property, int? value)
    {
        JsonNode document = JsonNode.Parse(Written.Json(ReportExamples.Interview()))!;
        document[property] = value;

        Assert.False(Judge(document).IsValid);
    }

    [Fact]
    public void TheTimeline_FollowsTheSchemaToo()
    {
        DumpResult result = ReportExamples.Interview();

        EvaluationResults judged = Judge(JsonNode.Parse(Written.Json(result, TimelineBuilder.Build(result)))!);

        Assert.True(judged.IsValid, Wrong(judged));
    }

    [Fact]
    public void WhereTheMicWasNotMeasured_StandsNull()
    {
        JsonNode document = JsonNode.Parse(Written.Json(ReportExamples.Hostile()))!;

        Assert.Null(document["takes"]![0]!["curves"]![0]!["noise_db"]![0]);
        Assert.Null(document["clocks"]![0]!["standard_error_ppm"]);
    }

    [Fact]
    public void EveryVoteSegmentFaultAndStep_IsThere()
    {
        DumpResult result = ReportExamples.Interview();
        JsonNode document = JsonNode.Parse(Written.Json(result))!;

        Assert.Equal(
            result.Files.Select(file => file.Placement?.Votes.Length ?? -1),
            document["files"]!.AsArray().Select(file => file!["placement"]?["votes"]!.AsArray().Count ?? -1));
        Assert.Equal(
            result.Takes.Select(take => (take.Segments.Length, take.Faults.Length, take.Curves.Sum(curve => curve.PeakDb.Length))),
            document["takes"]!.AsArray().Select(take => (
                take!["segments"]!.AsArray().Count, take["faults"]!.AsArray().Count,
                take["curves"]!.AsArray().Sum(curve => curve!["peak_db"]!.AsArray().Count))));
    }

    internal static DumpResult Example(string name) => name switch
    {
        "interview" => ReportExamples.Interview(),
        "hostile" => ReportExamples.Hostile(),
        "empty" => ReportExamples.Empty,
        _ => ReportExamples.OnlyUnreadable,
    };

    private static EvaluationResults Judge(JsonNode document) => Schema.Evaluate(
        JsonSerializer.SerializeToElement(document), new EvaluationOptions { OutputFormat = OutputFormat.List });
}
