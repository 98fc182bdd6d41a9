using System.Collections.Immutable;
using SyncBench.Intake;

namespace SyncBench.Reporting;

/// <summary>What a person has to do about a dump as a whole.</summary>
internal static class IntakeActions
{
    internal static IEnumerable<ReportAction> Of(ImmutableArray<IntakeFinding> findings) => findings
        .GroupBy(finding => finding.Kind).OrderBy(kind => kind.Key)
        .Select(kind => new ReportAction(
            Asked.IsItHere, kind.Any(finding => finding.NeedsAPerson), Title(kind.Key), [.. kind.Select(finding => $"{finding.Path}: {finding.Problem}")], Do(kind.Key)));

    private static string Title(FindingKind kind) => kind switch
    {
        FindingKind.NotAsInManifest => "Files that are not as their manifest says",
        FindingKind.NotAsInLastRun => "Files that are not as the last run found them",
        FindingKind.StillWritten => "Files that are still being written",
        FindingKind.NotRead => "What was not read",
        FindingKind.Manifest => "Manifests that cannot be believed",
        FindingKind.MissingNumber => "Holes in the numbering",
        _ => "Files that grew since the last run",
    };

    private static string Do(FindingKind kind) => kind switch
    {
        FindingKind.NotAsInManifest or FindingKind.NotAsInLastRun => "Do not wipe a card before this is cleared up: it may hold the only good copy.",
        FindingKind.StillWritten => "Wait until the copy has ended, then run again: what was made of these files is not whole.",
        FindingKind.NotRead => "See whether anything that belongs to the shoot lies there, and copy it into the dump as plain files.",
        FindingKind.Manifest => "Copy the manifests again from where the dump came from; until then the copy is not verified.",
        FindingKind.MissingNumber => "Look on the card and in the camera report: a deleted take leaves such a hole, and so does a forgotten file.",
        _ => "Use the results of this run, not those of the last.",
    };
}
