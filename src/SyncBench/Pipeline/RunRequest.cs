using SyncBench.Intake;

namespace SyncBench.Pipeline;

/// <summary>What to do: the dump is only read, everything is written to the output folder.</summary>
public sealed record RunRequest(string DumpFolder, OutputFolder Output, DumpSettings Settings);
