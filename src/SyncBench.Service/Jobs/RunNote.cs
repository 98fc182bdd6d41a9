namespace SyncBench.Service.Jobs;

/// <summary>How far a run is.</summary>
/// <param name="Share">Of the stage, 0 to 1.</param>
/// <param name="BytesDone">Of the dump, read beside the stages.</param>
internal sealed record RunNote(string Stage, string Item, double Share, long BytesDone, long BytesAll);
