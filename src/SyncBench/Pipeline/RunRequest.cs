using SyncBench.Intake;

namespace SyncBench.Pipeline;

/// <summary>What to do: the dump is only read, everything is written to the output folder.</summary>
/// <param name="Kept">
/// A folder for what was found out, so that a run that was killed goes on from there, and a later one does only what is new;
/// whoever asks for the run deletes it some day. Null where nothing is to be kept.
/// </param>
/// <param name="Listing">Of the dump's files, where whoever asks has just made one; null for the run to make it.</param>
public sealed record RunRequest(
    string DumpFolder, OutputFolder Output, DumpSettings Settings, string? Kept = null, DumpListing? Listing = null);
