using System.Collections.Immutable;

namespace SyncBench.Service.Watching;

/// <summary>A dump that is still being copied, or a folder that cannot be read.</summary>
/// <param name="Reason">What it waits for, in the reader's words.</param>
internal sealed record Arrival(string Folder, string Reason);

/// <summary>What the last look found not to be ready yet.</summary>
internal sealed class Arrivals : IDisposable
{
    private ImmutableArray<Arrival> _now = [];

    internal ImmutableArray<Arrival> Now => _now;

    /// <summary>Released when a look should come at once.</summary>
    internal SemaphoreSlim Wake { get; } = new(0);

    internal void Set(ImmutableArray<Arrival> arrivals) => ImmutableInterlocked.InterlockedExchange(ref _now, arrivals);

    public void Dispose() => Wake.Dispose();
}
