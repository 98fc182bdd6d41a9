using System.Text.Json;
using Json.Schema;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Timeline;

/// <summary>
/// The JSON schema of timeline files that was written from the documents of the OpenTimelineIO project
/// (fixtures/timeline/otio.schema.json says from which); JsonSchema.Net judges by it.
/// </summary>
internal static class OtioSchema
{
    private static readonly JsonSchema Schema = JsonSchema.FromText(File.ReadAllText(Repository.File("fixtures/timeline/otio.schema.json")));

    internal static bool Allows(JsonElement file) => Schema.Evaluate(file).IsValid;

    internal static void AssertKeptBy(byte[] file)
    {
        using JsonDocument json = JsonDocument.Parse(file);
        EvaluationResults results = Schema.Evaluate(json.RootElement, new EvaluationOptions { OutputFormat = OutputFormat.List });
        string[] problems =
        [
            .. (results.Details ?? []).Where(detail => detail.Errors is not null)
                .SelectMany(detail => detail.Errors!.Select(error => $"{detail.InstanceLocation}: {error.Value}")).Take(5),
        ];
        Assert.True(results.IsValid, string.Join('\n', problems));
    }
}
