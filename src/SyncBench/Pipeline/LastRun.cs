using System.Collections.Immutable;
using System.Globalization;
using System.Text.Json;
using SyncBench.Intake;
using SyncBench.Intake.Integrity;
using SyncBench.Media;

namespace SyncBench.Pipeline;

/// <summary>The dump's files as the last run found them, from the sync.json that lies in the output folder.</summary>
internal sealed class LastRun
{
    private readonly ImmutableDictionary<string, (long Bytes, string? Xxh128)> _files;

    private LastRun(ImmutableDictionary<string, (long Bytes, string? Xxh128)> files, ImmutableArray<string> results, DateTime writtenAt) =>
        (_files, Results, WrittenAt) = (files, results, writtenAt);

    /// <summary>All files that it wrote, relative to the output folder.</summary>
    internal ImmutableArray<string> Results { get; }

    /// <summary>When its last file was; in UTC.</summary>
    internal DateTime WrittenAt { get; }

    /// <returns>Null where there was none of this dump, or its results cannot be read.</returns>
    internal static LastRun? Load(string outputFolder, string dumpName)
    {
        try
        {
            using FileStream file = File.OpenRead(Path.Combine(outputFolder, "sync.json"));
            using JsonDocument document = JsonDocument.Parse(file);
            JsonElement root = document.RootElement;
            if (root.GetProperty("dump").GetProperty("name").GetString() != dumpName)
            {
                return null;
            }

            return new LastRun(
                root.GetProperty("files").EnumerateArray().ToImmutableDictionary(
                    entry => entry.GetProperty("path").GetString()!,
                    entry => (entry.GetProperty("bytes").GetInt64(), entry.TryGetProperty("xxh128", out JsonElement hash) ? hash.GetString() : null),
                    StringComparer.Ordinal),
                root.TryGetProperty("results", out JsonElement results)
                    ? [.. results.EnumerateArray().Select(name => name.GetString()!).Where(name => name is not null && !name.Contains('\0', StringComparison.Ordinal))]
                    : [],
                File.GetLastWriteTimeUtc(file.Name));
        }
        catch (Exception none) when (none is IOException or UnauthorizedAccessException or JsonException
            or KeyNotFoundException or InvalidOperationException or FormatException or ArgumentException)
        {
            return null; // a first run, or results of another program: there is nothing to compare with
        }
    }

    internal IEnumerable<IntakeFinding> Differences(ImmutableArray<MediaFile> files, IReadOnlyDictionary<MediaFile, HashedFile> hashed)
    {
        foreach (MediaFile file in files)
        {
            if (_files.TryGetValue(file.Path, out (long Bytes, string? Xxh128) then) && Difference(file, then, hashed.GetValueOrDefault(file)) is { } finding)
            {
                yield return finding;
            }
        }

        var here = files.Select(file => file.Path).ToHashSet(StringComparer.Ordinal);
        foreach (string gone in _files.Keys.Where(path => !here.Contains(path)).Order(StringComparer.Ordinal))
        {
            yield return new IntakeFinding(
                FindingKind.NotAsInLastRun, gone, "the last run found it, and now it is gone: see who moved it, or copy it again from the card");
        }
    }

    private static IntakeFinding? Difference(MediaFile file, (long Bytes, string? Xxh128) then, HashedFile? now)
    {
        CultureInfo plain = CultureInfo.InvariantCulture;
        return file.Bytes > then.Bytes
            ? new IntakeFinding(
                FindingKind.GrewSinceLastRun, file.Path,
                string.Create(plain, $"it grew from {then.Bytes:N0} to {file.Bytes:N0} bytes since the last run, so its copy had not ended then: use the results of this run"))
            : file.Bytes < then.Bytes
            ? new IntakeFinding(
                FindingKind.NotAsInLastRun, file.Path,
                string.Create(plain, $"it shrank from {then.Bytes:N0} to {file.Bytes:N0} bytes since the last run: copy it again from the card"))
            : then.Xxh128 is { } before && now?.Value(HashKind.Xxh128) is { } after && before != after
            ? new IntakeFinding(
                FindingKind.NotAsInLastRun, file.Path, "its content is another than in the last run: copy it again from the card and keep both until you know which is right")
            : null;
    }
}
