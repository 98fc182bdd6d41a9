using System.Text.Json;

namespace SyncBench.Service.Page;

/// <summary>What the last run of a dump found, from the sync.json beside its results.</summary>
/// <param name="LookAt">What a person has to look at, a line each: files first, then what is to be said of the dump as a whole.</param>
internal sealed record LastRun(FileResult[] Files, string[] LookAt)
{
    internal static LastRun None { get; } = new([], []);

    /// <returns>None where there are no results, or not of this program.</returns>
    internal static LastRun Load(string outputFolder)
    {
        try
        {
            using FileStream file = File.OpenRead(Path.Combine(outputFolder, "sync.json"));
            using JsonDocument document = JsonDocument.Parse(file);
            JsonElement root = document.RootElement;
            string[] takes = [.. root.GetProperty("takes").EnumerateArray().Select(take => take.GetProperty("name").GetString()!)];
            FileResult[] files = [.. root.GetProperty("files").EnumerateArray().Select(entry => FileResult.Of(entry, takes))];
            return new LastRun(
                files,
                [
                    .. files.Where(result => result.LookAt is not null).Select(result => $"{result.Path}: {result.LookAt}"),
                    .. root.GetProperty("findings").EnumerateArray().Select(finding => $"{finding.GetProperty("path").GetString()}: {finding.GetProperty("problem").GetString()}"),
                ]);
        }
        catch (Exception none) when (none is IOException or UnauthorizedAccessException or JsonException or KeyNotFoundException or InvalidOperationException)
        {
            return None;
        }
    }
}
