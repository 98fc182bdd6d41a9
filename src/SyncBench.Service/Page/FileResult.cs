using System.Text.Json;
using SyncBench.Intake;

namespace SyncBench.Service.Page;

/// <summary>What the last run said of a file, from the sync.json beside its results.</summary>
/// <param name="Role">Device and role in words; empty where it is no recording.</param>
/// <param name="StartS">Where it was placed on the report's clock; null where it was not.</param>
/// <param name="Takes">Numbers of the takes that it lies in.</param>
/// <param name="LookAt">Why a person has to look at it; null where nobody has to.</param>
internal sealed record FileResult(string Path, string Outcome, string Reason, string Role, double? StartS, int[] Takes, string? LookAt)
{
    /// <summary>The mark that tells this report's clock from a later one's, by a file of the take.</summary>
    internal static ClockMark? ClockOf(IEnumerable<FileResult> files, int take) => files
        .Where(file => file.StartS is not null && file.Takes.Contains(take))
        .Select(file => new ClockMark(file.Path, file.StartS!.Value))
        .FirstOrDefault();

    /// <param name="entry">Of <c>files</c>.</param>
    /// <param name="takes">Names of all takes, in order.</param>
    internal static FileResult Of(JsonElement entry, string[] takes)
    {
        JsonElement clip = entry.GetProperty("clip"), placement = entry.GetProperty("placement");
        string outcome = entry.GetProperty("outcome").GetString()!, reason = entry.GetProperty("reason").GetString()!;
        return new FileResult(
            entry.GetProperty("path").GetString()!,
            outcome,
            reason,
            clip.ValueKind == JsonValueKind.Null ? string.Empty : $"{clip.GetProperty("device").GetString()}, {clip.GetProperty("role").GetString()}",
            outcome == "placed" && placement.ValueKind == JsonValueKind.Object ? placement.GetProperty("start_s").GetDouble() : null,
            [.. entry.GetProperty("takes").EnumerateArray().Select(take => Array.IndexOf(takes, take.GetString()) + 1)],
            entry.GetProperty("damage").GetString() ?? (outcome is "unreadable" or "check by ear" ? reason : null));
    }
}
