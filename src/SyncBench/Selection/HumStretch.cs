namespace SyncBench.Selection;

/// <summary>Where the mains hums in a channel, in steps of <see cref="LineLevels"/> and parts of them, end exclusive.</summary>
public readonly record struct HumStretch(double First, double End);
