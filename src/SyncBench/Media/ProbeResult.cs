namespace SyncBench.Media;

/// <summary>What became of a probe: exactly one of <see cref="Media"/> and <see cref="Problem"/> is set.</summary>
/// <param name="Problem">What is wrong with the file and what to do, in the reader's words.</param>
public sealed record ProbeResult(MediaInfo? Media, string? Problem);
