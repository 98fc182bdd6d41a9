namespace SyncBench.Benchmarks.Speed;

/// <summary>What a process and those it started took. Processor time bears a loaded machine, wall time does not.</summary>
/// <param name="OwnProcessorSeconds">User and system time of the process itself.</param>
/// <param name="ChildProcessorSeconds">The same of all that it started.</param>
/// <param name="OwnPeakBytes">The most that was resident of the process itself.</param>
/// <param name="ChildPeakBytes">The most that was resident of all its children at one moment.</param>
internal sealed record Cost(
    double WallSeconds, double OwnProcessorSeconds, double ChildProcessorSeconds, long OwnPeakBytes, long ChildPeakBytes)
{
    internal double ProcessorSeconds => OwnProcessorSeconds + ChildProcessorSeconds;
}
