namespace SyncBench.Service.Jobs;

/// <summary>How a run ended.</summary>
/// <param name="State">Waiting where it was stopped and is to go on, Retrying where what stopped it may pass.</param>
/// <param name="Fingerprint">Of what was run; null where it is to be run again.</param>
internal sealed record RunEnding(DumpState State, string Reason, string? Fingerprint);
