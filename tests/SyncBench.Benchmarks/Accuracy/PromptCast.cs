namespace SyncBench.Benchmarks.Accuracy;

/// <summary>Who speaks of the recorded prompts, and which of them: no prompt is in two parts.</summary>
/// <param name="Subject">Folder of the subject's prompts.</param>
/// <param name="Interviewer">Folder of the interviewer's; null where the subject speaks alone.</param>
/// <param name="Part">From 0.</param>
internal sealed record PromptCast(string Subject, string? Interviewer, int Part, int Parts);
