namespace SyncBench.Intake.Integrity;

/// <summary>A manifest or chain file that cannot be used; the message says why, as the end of a sentence.</summary>
public sealed class MhlException(string message) : Exception(message);
