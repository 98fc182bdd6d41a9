using System.Text.Json;
using SyncBench.Intake;

namespace SyncBench.Service.Page;

/// <summary>What the last run said of a file, from the sync.json beside its results.</summary>
/// <param name="Role">Device and role in words; empty where it is no recording.</param>
/// <param name="StartS">Where it was placed on the report's clock; null where it was not.</param>
/// <param name="Takes">Numbers of the takes that it lies in.</param>
internal sealed record FileResult(string Path, string Outcome, string Reason, string Role, double? StartS, int[] Takes)
{
    /// <returns>None where there are no results, or not of this program.</returns>
    internal static FileResult[] Load(string outputFolder)
    {
        try
        {
            using FileStream file = File.OpenRead(System.IO.Path.Combine(outputFolder, "sync.json"));
            using JsonDocument document = JsonDocument.Parse(file);
            JsonElement root = document.RootElement;
            string[] takes = [.. root.GetProperty("takes").EnumerateArray().Select(take => take.GetProperty("name").GetString()!)];
            return [.. root.GetProperty("files").EnumerateArray().Select(entry => Of(entry, takes))];
        }
        catch (Exception none) when (none is IOException or UnauthorizedAccessException or JsonException or KeyNotFoundException or InvalidOperationException)
        {
            return [];
        }
    }

    /// <summary>The mark that tells this report's clock from a later one's, by a file of the take.</summary>
    internal static ClockMark? ClockOf(IEnumerable<FileResult> files, int take) => files
        .Where(file => file.StartS is not null && file.Takes.Contains(take))
        .Select(file => new ClockMark(file.Path, file.StartS!.Value))
        .FirstOrDefault();

    private static FileResult Of(JsonElement entry, string[] takes)
    {
        JsonElement clip = entry.GetProperty("clip"), placement = entry.GetProperty("placement");
        string outcome = entry.GetProperty("outcome").GetString()!;
        return new FileResult(
            entry.GetProperty("path").GetString()!,
            outcome,
            entry.GetProperty("reason").GetString()!,
            clip.ValueKind == JsonValueKind.Null ? string.Empty : $"{clip.GetProperty("device").GetString()}, {clip.GetProperty("role").GetString()}",
            outcome == "placed" && placement.ValueKind == JsonValueKind.Object ? placement.GetProperty("start_s").GetDouble() : null,
            [.. entry.GetProperty("takes").EnumerateArray().Select(take => Array.IndexOf(takes, take.GetString()) + 1)]);
    }
}
