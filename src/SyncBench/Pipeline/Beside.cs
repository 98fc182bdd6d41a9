namespace SyncBench.Pipeline;

/// <summary>Work that goes on beside the stages until its result is asked for; it ends when the run does, however that ends.</summary>
internal sealed class Beside<T> : IAsyncDisposable
{
    private readonly CancellationTokenSource _stop;

    internal Beside(Func<CancellationToken, Task<T>> work, CancellationToken cancellation)
    {
        _stop = CancellationTokenSource.CreateLinkedTokenSource(cancellation);
        Result = Task.Run(() => work(_stop.Token), _stop.Token);
    }

    internal Task<T> Result { get; }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await ((Task)Result).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        _stop.Dispose();
    }
}
