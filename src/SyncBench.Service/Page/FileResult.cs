using System.Text.Json;

namespace SyncBench.Service.Page;

/// <summary>What the last run said of a file, from the sync.json beside its results.</summary>
internal sealed record FileResult(string Path, string Outcome, string Reason)
{
    /// <returns>None where there are no results, or not of this program.</returns>
    internal static FileResult[] Load(string outputFolder)
    {
        try
        {
            using FileStream file = File.OpenRead(System.IO.Path.Combine(outputFolder, "sync.json"));
            using JsonDocument document = JsonDocument.Parse(file);
            return
            [
                .. document.RootElement.GetProperty("files").EnumerateArray().Select(entry => new FileResult(
                    entry.GetProperty("path").GetString()!,
                    entry.GetProperty("outcome").GetString()!.Replace('_', ' '),
                    entry.TryGetProperty("reason", out JsonElement reason) ? reason.GetString() ?? string.Empty : string.Empty)),
            ];
        }
        catch (Exception none) when (none is IOException or UnauthorizedAccessException or JsonException or KeyNotFoundException or InvalidOperationException)
        {
            return [];
        }
    }
}
