using SyncBench.Alignment;
using SyncBench.Selection;

namespace SyncBench.Reporting;

/// <summary>Which takes a file lies in; a recorder that runs through lies in several.</summary>
internal static class TakesOf
{
    /// <summary>"take 1; take 2"; empty where the file lies in none.</summary>
    internal static string File(DumpResult result, FileOutcome file) => string.Join("; ", Names(result, file));

    internal static IEnumerable<string> Names(DumpResult result, FileOutcome file) => result.Takes
        .Where(sound => sound.Take.Placements.Any(placement => placement.Clip.File == file.File))
        .Select(sound => sound.Take.Name);
}
