using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.Json.Serialization.Metadata;
using Json.Schema;
using SyncBench.Intake;
using SyncBench.Scenes;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Intake;

/// <summary>docs/settings.schema.json, by which editors of text help (JSON Schema draft 2020-12; JsonSchema.Net judges by it).</summary>
public sealed class SettingsSchemaTests : IDisposable
{
    private static readonly string Text = File.ReadAllText(Repository.File("docs/settings.schema.json"));
    private static readonly JsonSchema Schema = JsonSchema.FromText(Text);

    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>By the serializer's own account of the records that settings are read into.</summary>
    [Fact]
    public void EverySettingOfTheCode_IsInTheSchema_AndNoOther()
    {
        var documented = JsonNode.Parse(Text)!;
        string[] ofSchema = [.. Settings(documented, documented).Order(StringComparer.Ordinal)];

        Assert.Equal(Settings(typeof(DumpSettings)).Order(StringComparer.Ordinal), ofSchema);
        Assert.Contains("/timeline/takes = flat, nested", ofSchema);
        Assert.Contains("/devices/match needed", ofSchema);
    }

    [Fact]
    public void TheCommentedExample_IsTakenByBoth()
    {
        string file = Repository.File("docs/settings.example.json");

        Assert.True(IsValid(File.ReadAllText(file)));
        DumpSettings settings = DumpSettings.Load(file);
        Assert.Equal(3, settings.Devices.Length);
        Assert.Single(settings.Corrections.Placed);
        Assert.True(File.Exists(Path.Combine(Path.GetDirectoryName(file)!, settings.Schema!)));
    }

    [Fact]
    public void TheDemosSettings_AreTaken() => Assert.True(IsValid(DemoDump.Settings));

    [Theory]
    [InlineData("""{ "timeline": { "frame_rate": 26 } }""")]
    [InlineData("""{ "timeline": { "drift_frames": 0 } }""")]
    [InlineData("""{ "timeline": { "takes": "stacked" } }""")]
    [InlineData("""{ "devices": [ { "match": "*", "name": "A", "mics": ["lavaliere"] } ] }""")]
    [InlineData("""{ "devices": [ { "match": "*", "name": "A", "distance_m": -1 } ] }""")]
    [InlineData("""{ "devices": [ { "match": "*", "name": "A", "picture_offset_ms": 1001 } ] }""")]
    [InlineData("""{ "devices": [ { "name": "A" } ] }""")]
    [InlineData("""{ "device": [] }""")]
    [InlineData("""{ "certainty": 1 }""")]
    [InlineData("""{ "corrections": { "mics": [ { "take": 1, "mic": "boom", "from": "12:03", "to": "12:70" } ] } }""")]
    [InlineData("""{ "corrections": { "mics": [ { "take": 0, "mic": "boom", "from": "12:03", "to": "12:04" } ] } }""")]
    [InlineData("""{ "corrections": { "placed": [ { "file": "A", "against": "B" } ] } }""")]
    public void WhatIsWrong_IsRefusedByBoth(string settings)
    {
        File.WriteAllText(_folder.File("settings.json"), settings);

        Assert.False(IsValid(settings));
        Assert.Throws<SettingsException>(() => DumpSettings.Load(_folder.File("settings.json")));
    }

    private static bool IsValid(string settings)
    {
        using JsonDocument document = JsonDocument.Parse(
            settings, new JsonDocumentOptions { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true });
        return Schema.Evaluate(document.RootElement).IsValid;
    }

    private static IEnumerable<string> Settings(Type type, string at = "")
    {
        type = Nullable.GetUnderlyingType(type) ?? type;
        JsonTypeInfo info = SettingsFile.Format.GetTypeInfo(type);
        return type.IsEnum
            ? [$"{at} = {string.Join(", ", Enum.GetNames(type).Select(JsonNamingPolicy.SnakeCaseLower.ConvertName).Order(StringComparer.Ordinal))}"]
            : info.Kind == JsonTypeInfoKind.Enumerable ? Settings(info.ElementType!, at)
            : info.Kind != JsonTypeInfoKind.Object ? []
            : info.Properties.Where(property => property.AssociatedParameter is not null).SelectMany(property => Settings(property.PropertyType, $"{at}/{property.Name}")
                .Prepend($"{at}/{property.Name}{(property.AssociatedParameter!.HasDefaultValue ? string.Empty : " needed")}"));
    }

    /// <summary>"/devices/mics = boom, lavalier": where each setting stands, what it may be, and whether it must be there.</summary>
    private static IEnumerable<string> Settings(JsonNode schema, JsonNode root, string at = "")
    {
        if (schema["$ref"]?.GetValue<string>() is { } reference)
        {
            schema = reference[2..].Split('/', StringSplitOptions.RemoveEmptyEntries).Aggregate(root, (part, name) => part[name]!);
        }

        if (schema["enum"] is JsonArray { } words && words.OfType<JsonValue>().Any(word => word.GetValueKind() == JsonValueKind.String))
        {
            yield return $"{at} = {string.Join(", ", words.OfType<JsonValue>().Select(word => word.ToString()).Order(StringComparer.Ordinal))}";
        }

        string[] needed = [.. (schema["required"] as JsonArray ?? []).Select(name => name!.GetValue<string>())];
        foreach ((string name, JsonNode? inner) in schema["properties"] as JsonObject ?? [])
        {
            yield return $"{at}/{name}{(needed.Contains(name) ? " needed" : string.Empty)}";
            foreach (string further in Settings(inner!, root, $"{at}/{name}"))
            {
                yield return further;
            }
        }

        foreach (string further in schema["items"] is JsonObject items ? Settings(items, root, at) : [])
        {
            yield return further;
        }
    }
}
