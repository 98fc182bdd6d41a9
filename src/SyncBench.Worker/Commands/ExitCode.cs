namespace SyncBench.Worker.Commands;

/// <summary>What the program answers to the shell.</summary>
internal static class ExitCode
{
    /// <summary>Every file was placed or set aside.</summary>
    internal const int Done = 0;

    internal const int Failed = 1;
    internal const int WrongUsage = 2;

    /// <summary>Done, but some file is unreadable or wants a check by ear.</summary>
    internal const int NeedsAPerson = 3;
}
