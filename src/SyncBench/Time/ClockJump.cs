namespace SyncBench.Time;

/// <summary>A point at which a device lost sound, or wrote some twice, so that its clip's clock jumps.</summary>
/// <param name="At">On the clip's clock: the first instant after the jump.</param>
/// <param name="Lost">How much later everything from there on lies on the common clock; negative where sound came twice.</param>
public readonly record struct ClockJump(MediaTime At, MediaTime Lost);
