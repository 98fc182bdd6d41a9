using System.Collections.Immutable;
using SyncBench.Intake;
using SyncBench.Intake.Integrity;
using SyncBench.Media;

namespace SyncBench.Pipeline;

/// <summary>What to verify, and where a new manifest goes.</summary>
/// <param name="Output">Holds the histories written by earlier calls; null where none is to be read or written there.</param>
/// <param name="WriteIntoDump">Adds a generation to the dump's own history: the only case in which a dump is written to.</param>
public sealed record VerifyRequest(string DumpFolder, OutputFolder? Output, bool WriteIntoDump, HashKind Kind);

/// <param name="Bytes">That were read.</param>
/// <param name="Manifests">Those written.</param>
/// <param name="Refused">What was left alone.</param>
public sealed record VerifyResult(DumpCheck Check, bool HadManifest, long Bytes, ImmutableArray<string> Manifests, ImmutableArray<RefusedEntry> Refused)
{
    /// <summary>Whether somebody has to look at something.</summary>
    public bool NeedsAPerson =>
        !Check.ManifestProblems.IsEmpty
        || Refused.Any(entry => entry.HidesFiles)
        || Check.Files.Any(file => file.Check is not FileCheck.Verified && (HadManifest || file.Check != FileCheck.Unknown));
}

/// <summary>Holds a dump against every manifest that speaks of it, and writes the next one where asked.</summary>
public sealed class DumpVerification(TimeProvider clock)
{
    /// <exception cref="RunRefusedException">There is nothing to verify, or the manifest cannot be written.</exception>
    public async Task<VerifyResult> RunAsync(
        VerifyRequest request, IProgress<HashProgress>? progress, CancellationToken cancellation)
    {
        DumpListing listing = DumpFolder.List(request.DumpFolder);
        ImmutableArray<MhlHistory> histories = [.. Histories(listing, request.Output)];
        var known = new KnownHashes(histories);
        if (!known.HasManifest && histories.IsEmpty && request is { Output: null, WriteIntoDump: false })
        {
            throw new RunRefusedException(
                $"{request.DumpFolder}: the dump holds no ASC MHL manifest to verify it by. Give --out FOLDER to write one, and verify by that from then on.",
                wrongUsage: true);
        }

        if (request.WriteIntoDump && listing.ManifestFolders.FirstOrDefault(folder => folder != DumpLister.ManifestFolder) is { } nested)
        {
            throw new RunRefusedException(
                $"{request.DumpFolder}: a folder inside it has a history of its own ({nested}), so no generation over both is written into the dump. Use --out.",
                wrongUsage: false);
        }

        DateTimeOffset began = clock.GetLocalNow();
        ImmutableArray<MediaFile> files = DumpCheck.FilesToRead(listing, known);
        ImmutableArray<HashedFile> hashed = await DumpHasher.HashAsync(
            files, file => DumpCheck.KindsFor(file, known, request.Kind), null, progress, cancellation);
        DumpCheck check = known.HasManifest ? DumpCheck.Of(histories, known, hashed) : WithoutManifest(histories, hashed);
        MhlManifest manifest = NewGeneration.Of(request.Kind, known, hashed, began);
        IEnumerable<string> folders =
        [
            .. request.Output is { } output ? [Path.Combine(output.FullPath, DumpLister.ManifestFolder)] : Array.Empty<string>(),
            .. request.WriteIntoDump ? [Path.Combine(listing.Root, DumpLister.ManifestFolder)] : Array.Empty<string>(),
        ];
        return new VerifyResult(
            check, known.HasManifest, hashed.Where(file => file.Problem is null).Sum(file => file.File.Bytes),
            [.. folders.Select(folder => Write(folder, listing.Name, manifest))], listing.Refused);
    }

    /// <summary>Those of the dump, and the one that earlier calls wrote beside the results.</summary>
    internal static IEnumerable<MhlHistory> Histories(DumpListing listing, OutputFolder? output)
    {
        IEnumerable<MhlHistory?> all = listing.ManifestFolders.Select(folder => MhlHistory.Load(
            Path.Combine(listing.Root, folder), folder.Length > DumpLister.ManifestFolder.Length ? folder[..^(DumpLister.ManifestFolder.Length + 1)] : string.Empty));
        return all.Append(output is null ? null : MhlHistory.Load(Path.Combine(output.FullPath, DumpLister.ManifestFolder), string.Empty)).OfType<MhlHistory>();
    }

    private static DumpCheck WithoutManifest(ImmutableArray<MhlHistory> histories, ImmutableArray<HashedFile> hashed) => new(
        [
            .. hashed.Select(file => file.Problem is { } problem
                ? new CheckedFile(file.File.Path, FileCheck.Unreadable, problem)
                : new CheckedFile(file.File.Path, FileCheck.Unknown, "there is no manifest yet")),
        ],
        [.. histories.SelectMany(history => history.Problems)],
        0);

    private static string Write(string folder, string name, MhlManifest manifest)
    {
        try
        {
            return MhlHistory.Append(folder, name, manifest);
        }
        catch (Exception wrong) when (wrong is MhlException or IOException or UnauthorizedAccessException)
        {
            throw new RunRefusedException(
                $"{folder}: the manifest cannot be written ({wrong.Message.TrimEnd('.')}). Correct that, then verify again.", wrongUsage: false);
        }
    }
}
