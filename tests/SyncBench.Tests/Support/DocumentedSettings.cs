using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.Json.Serialization.Metadata;
using Json.Schema;
using SyncBench.Intake;

namespace SyncBench.Tests.Support;

/// <summary>A JSON schema of the docs for a file of settings, and the same of the records that such a file is read into.</summary>
/// <param name="name">In the repository: "docs/settings.schema.json".</param>
internal sealed class DocumentedSettings(string name)
{
    private readonly string _text = File.ReadAllText(Repository.File(name));

    internal string[] Settings => JsonNode.Parse(_text) is { } schema ? [.. Of(schema, schema).Order(StringComparer.Ordinal)] : [];

    internal static string[] OfCode(Type settings) => [.. Of(settings).Order(StringComparer.Ordinal)];

    internal bool Allows(string settings)
    {
        using JsonDocument document = JsonDocument.Parse(
            settings, new JsonDocumentOptions { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true });
        return JsonSchema.FromText(_text).Evaluate(document.RootElement).IsValid;
    }

    private static IEnumerable<string> Of(Type type, string at = "")
    {
        type = Nullable.GetUnderlyingType(type) ?? type;
        JsonTypeInfo info = SettingsFile.Format.GetTypeInfo(type);
        return type.IsEnum
            ? [$"{at} = {string.Join(", ", Enum.GetNames(type).Select(JsonNamingPolicy.SnakeCaseLower.ConvertName).Order(StringComparer.Ordinal))}"]
            : info.Kind == JsonTypeInfoKind.Enumerable ? Of(info.ElementType!, at)
            : info.Kind != JsonTypeInfoKind.Object ? []
            : info.Properties.Where(property => property.AssociatedParameter is not null).SelectMany(property => Of(property.PropertyType, $"{at}/{property.Name}")
                .Prepend($"{at}/{property.Name}{(property.AssociatedParameter!.HasDefaultValue ? string.Empty : " needed")}"));
    }

    /// <summary>"/devices/mics = boom, lavalier": where each setting stands, what it may be, and whether it must be there.</summary>
    private static IEnumerable<string> Of(JsonNode schema, JsonNode root, string at = "")
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
            foreach (string further in Of(inner!, root, $"{at}/{name}"))
            {
                yield return further;
            }
        }

        foreach (string further in schema["items"] is JsonObject items ? Of(items, root, at) : [])
        {
            yield return further;
        }
    }
}
