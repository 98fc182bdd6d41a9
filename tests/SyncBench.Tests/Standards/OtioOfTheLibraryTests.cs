using System.Text.Json;
using System.Text.Json.Nodes;
using SyncBench.Intake;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Tests.Timeline;
using SyncBench.Time;
using SyncBench.Timeline;

namespace SyncBench.Tests.Standards;

/// <summary>
/// Timeline files against a JSON schema that was written from the documents of the OpenTimelineIO project and knows nothing
/// of our writer: <see cref="OtioSchema"/>.
/// </summary>
public class OtioOfTheLibraryTests
{
    public static TheoryData<int, int, string, TakeLayout, DriftCorrection> Files
    {
        get
        {
            var files = new TheoryData<int, int, string, TakeLayout, DriftCorrection>();
            foreach ((int numerator, int denominator, string label) in new[]
            {
                (24_000, 1_001, "10:00:00:00"), (24, 1, "10:00:00:00"), (25, 1, "10:00:00:00"), (30_000, 1_001, "10:00:00;00"),
                (30_000, 1_001, "10:00:00:00"), (30, 1, "10:00:00:00"), (50, 1, "10:00:00:00"), (60_000, 1_001, "10:00:00;00"),
                (60, 1, "10:00:00:00"),
            })
            {
                files.Add(numerator, denominator, label, TakeLayout.Flat, DriftCorrection.Cut);
                files.Add(numerator, denominator, label, TakeLayout.Flat, DriftCorrection.Warp);
                files.Add(numerator, denominator, label, TakeLayout.Nested, DriftCorrection.Cut);
            }

            return files;
        }
    }

    [Theory]
    [MemberData(nameof(Files))]
    public void EveryFile_KeepsTheSchema(int numerator, int denominator, string label, TakeLayout takes, DriftCorrection drift) =>
        OtioSchema.AssertKeptBy(Written(CutExamples.Hour(new Rate(numerator, denominator), label), new TimelineSettings(Takes: takes, SoundDrift: drift)));

    [Fact]
    public void MarkersOfAnswersAndQuestions_KeepTheSchema() =>
        OtioSchema.AssertKeptBy(Written(ReportExamples.Interview(), TimelineSettings.Usual));

    /// <summary>What the library 0.18.1 answers with an error: 12 for a missing field, 11 and 14 for schemas that it does not know.</summary>
    [Theory]
    [InlineData("active_media_reference_key")]
    [InlineData("media_references")]
    [InlineData("kind")]
    [InlineData("children")]
    [InlineData("tracks")]
    [InlineData("marked_range")]
    public void AFileWithoutWhatTheLibraryAsksFor_IsRefused(string field)
    {
        JsonNode file = JsonNode.Parse(Written(CutExamples.Hour(), TimelineSettings.Usual))!;
        JsonObject holder = Objects(file).First(o => o.ContainsKey(field));
        holder.Remove(field);

        Assert.False(OtioSchema.Allows(Element(file)));
    }

    [Theory]
    [InlineData("Marker.2", "Marker.3")]
    [InlineData("Clip.2", "Clip.3")]
    [InlineData("Gap.1", "Filler.2")]
    public void AnotherVersionOfASchema_IsRefused(string version, string other)
    {
        JsonNode file = JsonNode.Parse(Written(CutExamples.Hour(), TimelineSettings.Usual))!;
        Objects(file).First(o => o["OTIO_SCHEMA"]?.GetValue<string>() == version)["OTIO_SCHEMA"] = other;

        Assert.False(OtioSchema.Allows(Element(file)));
    }

    private static IEnumerable<JsonObject> Objects(JsonNode? node) => node switch
    {
        JsonObject o => o.SelectMany(entry => Objects(entry.Value)).Prepend(o),
        JsonArray a => a.SelectMany(Objects),
        _ => [],
    };

    private static JsonElement Element(JsonNode node)
    {
        using JsonDocument json = JsonDocument.Parse(node.ToJsonString());
        return json.RootElement.Clone();
    }

    private static byte[] Written(DumpResult result, TimelineSettings settings)
    {
        using var stream = new MemoryStream();
        if (settings.Takes == TakeLayout.Nested)
        {
            OtioWriter.WriteCollection(stream, result.Name, TimelineBuilder.Timelines(result, settings), "/results");
        }
        else
        {
            OtioWriter.Write(stream, TimelineBuilder.Timelines(result, settings).Single(), "/results");
        }

        return stream.ToArray();
    }
}
