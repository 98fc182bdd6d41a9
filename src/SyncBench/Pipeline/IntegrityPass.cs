using System.Collections.Immutable;
using SyncBench.Intake;
using SyncBench.Intake.Integrity;
using SyncBench.Media;

namespace SyncBench.Pipeline;

/// <summary>
/// Reads every byte of a dump for its checksums beside the analysis: sound comes out of a camera file much faster than the
/// whole file can be read, so the two are passes of their own.
/// </summary>
internal sealed class IntegrityPass : IAsyncDisposable
{
    private readonly DumpListing _listing;
    private readonly LastRun? _lastRun;
    private readonly ImmutableArray<MhlHistory> _histories;
    private readonly KnownHashes _known;
    private readonly CancellationTokenSource _stop;
    private readonly Task<ImmutableArray<HashedFile>> _reading;

    private IntegrityPass(DumpListing listing, OutputFolder output, KeptFolder? kept, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        _listing = listing;
        _lastRun = LastRun.Load(output.FullPath, listing.Name);
        _histories = [.. DumpVerification.Histories(listing, output)];
        _known = new KnownHashes(_histories);
        _stop = CancellationTokenSource.CreateLinkedTokenSource(cancellation);
        var bytes = new DirectProgress<HashProgress>(read => progress?.Report(
            new StageProgress(Stage.Checksums, read.Path, (double)read.BytesDone / Math.Max(1, read.BytesAll))
            {
                BytesDone = read.BytesDone,
                BytesAll = read.BytesAll,
            }));
        ImmutableArray<MediaFile> files = DumpCheck.FilesToRead(listing, _known);
        _reading = Task.Run(() => ReadAsync(files, kept, bytes), _stop.Token);
    }

    /// <returns>In the order of <paramref name="files"/>.</returns>
    private async Task<ImmutableArray<HashedFile>> ReadAsync(ImmutableArray<MediaFile> files, KeptFolder? kept, IProgress<HashProgress> progress)
    {
        ImmutableArray<HashKind> Kinds(MediaFile file) => DumpCheck.KindsFor(file, _known, HashKind.Xxh128);
        var paths = files.Where(_ => kept is not null).ToDictionary(file => file, file => kept!.PathOf(file));
        Dictionary<MediaFile, HashedFile> before = [];
        foreach ((MediaFile file, string path) in paths)
        {
            if (KeptReadings.Hashes(path) is { } hashes && hashes.Select(hash => hash.Kind).SequenceEqual(Kinds(file)))
            {
                before.Add(file, new HashedFile(file, hashes, null));
            }
        }

        void Keep(HashedFile hashed)
        {
            if (hashed.Problem is null && paths.TryGetValue(hashed.File, out string? path))
            {
                KeptReadings.Keep(path, hashed.Hashes);
            }
        }

        ImmutableArray<HashedFile> read = await DumpHasher.HashAsync([.. files.Where(file => !before.ContainsKey(file))], Kinds, Keep, progress, _stop.Token);
        var now = read.ToDictionary(hashed => hashed.File);
        return [.. files.Select(file => before.GetValueOrDefault(file) ?? now[file])];
    }

    internal static IntegrityPass Begin(
        DumpListing listing, OutputFolder output, KeptFolder? kept, IProgress<StageProgress>? progress, CancellationToken cancellation) =>
        new(listing, output, kept, progress, cancellation);

    /// <summary>Waits for the last file.</summary>
    internal async Task<Integrity> FinishAsync(IEnumerable<string> recordings)
    {
        ImmutableArray<HashedFile> hashed = await _reading;
        var byFile = hashed.ToImmutableDictionary(file => file.File);
        DumpCheck check = DumpCheck.Of(_histories, _known, hashed);
        IEnumerable<IntakeFinding> findings =
        [
            .. check.Files.Where(file => file.Check is not (FileCheck.Verified or FileCheck.Unreadable))
                .Select(file => new IntakeFinding(FindingKind.NotAsInManifest, file.Path, file.Reason)),
            .. _lastRun?.Differences(_listing.Files, byFile) ?? [],
            .. hashed.Where(file => file.IsGrowing || Settling.IsCopyGoingOn(file.File))
                .Select(file => new IntakeFinding(FindingKind.StillWritten, file.File.Path, file.Problem ?? "so files are named while they are being copied: wait until the copy has ended, then run again")),
            .. _listing.Refused.Select(entry => new IntakeFinding(FindingKind.NotRead, entry.Path, entry.Problem)),
            .. check.ManifestProblems.Select(problem => new IntakeFinding(FindingKind.Manifest, _listing.Name, problem)),
            .. RunningNumbers.Holes(recordings),
        ];
        return new Integrity(byFile, [.. findings.OrderBy(finding => finding.Kind).ThenBy(finding => finding.Path, StringComparer.Ordinal)]);
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await ((Task)_reading).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing); // whoever wanted its result has it, or has failed
        _stop.Dispose();
    }
}

/// <summary>What the checksums show.</summary>
internal sealed record Integrity(IReadOnlyDictionary<MediaFile, HashedFile> Hashed, ImmutableArray<IntakeFinding> Findings)
{
    internal ImmutableDictionary<MediaFile, string> Xxh128 { get; } = Hashed.Values
        .Where(file => file.Value(HashKind.Xxh128) is not null)
        .ToImmutableDictionary(file => file.File, file => file.Value(HashKind.Xxh128)!);
}
