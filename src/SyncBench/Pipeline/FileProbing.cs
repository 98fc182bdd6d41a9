using System.Collections.Immutable;
using System.Text.Json;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Intake.Integrity;
using SyncBench.Media;

namespace SyncBench.Pipeline;

/// <summary>What the files of a dump are.</summary>
/// <param name="Media">Those that can be read, in order of path.</param>
/// <param name="Without">What became of the others.</param>
/// <param name="Copies">Files that hold the same as an earlier one.</param>
internal sealed record Probed(
    ImmutableArray<MediaInfo> Media, IReadOnlyDictionary<MediaFile, FileOutcome> Without, IReadOnlyDictionary<MediaFile, MediaFile> Copies)
{
    /// <summary>Files that are recordings, or should be.</summary>
    internal IEnumerable<string> RecordingPaths => Media.Select(media => media.File.Path)
        .Concat(Without.Where(file => file.Value.Outcome == Outcome.Unreadable).Select(file => file.Key.Path))
        .Concat(Copies.Keys.Select(file => file.Path));

    /// <summary>Whether there is neither a recording nor a file that should be one.</summary>
    internal bool HoldsNothing => Media.IsEmpty && !Without.Values.Any(file => file.Outcome == Outcome.Unreadable);
}

/// <summary>Asks of each file of a dump what it is.</summary>
internal static class FileProbing
{
    /// <summary>A file so named should hold picture or sound; any other that holds neither is just no media.</summary>
    private static readonly string[] MediaEndings =
    [
        ".mp4", ".mov", ".m4v", ".mxf", ".mts", ".m2ts", ".avi", ".mkv", ".webm", ".mpg", ".3gp", ".dv",
        ".wav", ".bwf", ".rf64", ".w64", ".aif", ".aiff", ".flac", ".m4a", ".mp3", ".aac", ".caf", ".ogg",
    ];

    internal static async Task<Probed> ProbeAsync(
        DumpListing listing, ImmutableArray<string> leftOut, KeptFolder? kept, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        var results = new ProbeResult[listing.Files.Length];
        int done = 0;
        JsonSerializerOptions format = StageJson.Format(StageJson.Named(listing.Files));
        var options = new ParallelOptions
        {
            CancellationToken = cancellation,
            MaxDegreeOfParallelism = Environment.ProcessorCount,
        };
        await Parallel.ForEachAsync(Enumerable.Range(0, results.Length), options, async (i, stop) =>
        {
            results[i] = await ProbeOneAsync(listing.Files[i], kept, format, stop);
            double share = (double)Interlocked.Increment(ref done) / results.Length;
            progress?.Report(new StageProgress(Stage.Probe, listing.Files[i].Path, share));
        });

        return Sorted(listing, results, leftOut.ToHashSet(StringComparer.Ordinal));
    }

    /// <summary>A problem is not kept: it may be gone the next time.</summary>
    private static async Task<ProbeResult> ProbeOneAsync(
        MediaFile file, KeptFolder? kept, JsonSerializerOptions format, CancellationToken cancellation)
    {
        if (kept is null)
        {
            return await MediaProbe.ProbeAsync(file, cancellation);
        }

        string path = kept.PathOf(file) + ".probe";
        if (kept.Find(path, _ => StageJson.Read<ProbeResult>(path, format)) is { } before)
        {
            return before;
        }

        ProbeResult result = await MediaProbe.ProbeAsync(file, cancellation);
        if (result.Problem is null)
        {
            StageJson.Write(path, result, format);
        }

        return result;
    }

    private static Probed Sorted(DumpListing listing, ProbeResult[] results, HashSet<string> leftOut)
    {
        MediaInfo[] read = [.. results.Select(result => result.Media).OfType<MediaInfo>().Where(media => !leftOut.Contains(media.File.Path))];
        MediaInfo[] recordings = [.. read.Where(media => !media.IsStill)];
        ImmutableDictionary<MediaFile, MediaFile> copies = SameContent.Find(recordings.Select(media => media.File));
        ImmutableDictionary<MediaFile, MediaFile> proxies = Companions.Proxies(recordings);
        ImmutableDictionary<MediaFile, string> stills = Companions.Stills([.. read.Where(media => media.IsStill)], recordings);
        var media = ImmutableArray.CreateBuilder<MediaInfo>();
        var without = new Dictionary<MediaFile, FileOutcome>();
        for (int i = 0; i < results.Length; i++)
        {
            MediaFile file = listing.Files[i];
            FileOutcome SetAside(string reason) => new(file, null, Outcome.SetAside, null, reason);
            if (leftOut.Contains(file.Path))
            {
                without[file] = SetAside("left out by hand");
            }
            else if (results[i].Problem is { } problem)
            {
                without[file] = IsNamedMedia(file)
                    ? new FileOutcome(file, null, Outcome.Unreadable, null, problem)
                    : SetAside(Companions.Sidecar(file, recordings));
            }
            else if (copies.TryGetValue(file, out MediaFile? first))
            {
                without[file] = SetAside($"the same content as {first.Path}, so it was copied twice");
            }
            else if (proxies.TryGetValue(file, out MediaFile? original))
            {
                without[file] = SetAside($"a low-resolution proxy of {original.Path}");
            }
            else if (stills.TryGetValue(file, out string? still))
            {
                without[file] = SetAside(still);
            }
            else
            {
                media.Add(results[i].Media!);
            }
        }

        return new Probed(media.ToImmutable(), without, copies);
    }

    private static bool IsNamedMedia(MediaFile file) =>
        MediaEndings.Contains(Path.GetExtension(file.Name), StringComparer.OrdinalIgnoreCase);
}
