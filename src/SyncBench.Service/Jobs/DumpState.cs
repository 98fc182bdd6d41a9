namespace SyncBench.Service.Jobs;

/// <summary>Where a dump is on its way. Stored by name.</summary>
internal enum DumpState
{
    Waiting,
    Running,

    /// <summary>Something that may pass stopped it; it runs again by itself.</summary>
    Retrying,
    Done,

    /// <summary>Done, but some file is unreadable or wants a check by ear.</summary>
    NeedsAPerson,
    Failed,
    Cancelled,
}
