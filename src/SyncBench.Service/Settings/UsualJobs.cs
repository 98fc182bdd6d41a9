namespace SyncBench.Service.Settings;

/// <summary>How many dumps a machine syncs side by side where the administrator says nothing.</summary>
internal static class UsualJobs
{
    /// <summary>A run keeps two cores busy (docs/performance.md was measured on two).</summary>
    private const int CoresOfARun = 2;

    /// <summary>What a run may need, by the limit that scripts/bench speed holds it to; its decoders are small beside it.</summary>
    private const long BytesOfARun = 600L << 20;

    internal static int OfThisMachine { get; } = Of(Environment.ProcessorCount, GC.GetGCMemoryInfo().TotalAvailableMemoryBytes);

    /// <summary>One for every two cores, and no more than half of the memory has room for; at least one, for else nothing would be done.</summary>
    /// <param name="cores">That the process may use.</param>
    /// <param name="memoryBytes">That the process may use: the machine's, or what its container or unit is held to.</param>
    internal static int Of(int cores, long memoryBytes) =>
        (int)Math.Clamp(Math.Min(cores / CoresOfARun, memoryBytes / 2 / BytesOfARun), 1, ServiceSettings.MostJobs);
}
