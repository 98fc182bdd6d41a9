using System.Text.Encodings.Web;
using System.Text.Json;

namespace SyncBench.Worker.Commands;

/// <summary>What <c>--json</c> prints: one document on standard output, named and counted as in sync.json.</summary>
internal static class ProgramJson
{
    internal const string Help = "For programs: one JSON document on standard output, named as in sync.json.";

    private static readonly JsonSerializerOptions Format = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower,
        WriteIndented = true,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    internal static void Write(object document) => Console.Out.WriteLine(JsonSerializer.Serialize(document, Format));
}
