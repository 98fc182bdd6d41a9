namespace SyncBench.Pipeline;

/// <summary>A run that cannot begin. The message says what is wrong and what to do.</summary>
public sealed class RunRefusedException(string message, bool wrongUsage, Exception? cause = null) : Exception(message, cause)
{
    /// <summary>Whether the command was wrong, rather than the dump or the disk.</summary>
    public bool WrongUsage { get; } = wrongUsage;
}
