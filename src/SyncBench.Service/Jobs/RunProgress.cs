using SyncBench.Pipeline;

namespace SyncBench.Service.Jobs;

/// <summary>Carries a run's progress to the store once a second, and a person's wish to stop from there to the run.</summary>
internal sealed class RunProgress(DumpStore store, string id, CancellationTokenSource stop) : IProgress<StageProgress>, IAsyncDisposable
{
    private static readonly TimeSpan Rhythm = TimeSpan.FromSeconds(1);

    private readonly CancellationTokenSource _ended = new();
    private StageProgress? _latest;
    private Task _notes = Task.CompletedTask;

    /// <summary>Whether it was a person who stopped the run.</summary>
    internal bool Cancelled { get; private set; }

    public void Report(StageProgress value)
    {
        // Checksums run beside the other stages: they would only make the shown stage flicker.
        if (value.Stage != Stage.Checksums)
        {
            Volatile.Write(ref _latest, value);
        }
    }

    internal void Begin() => _notes = NoteAsync();

    public async ValueTask DisposeAsync()
    {
        await _ended.CancelAsync();
        await _notes;
        _ended.Dispose();
    }

    private async Task NoteAsync()
    {
        using var timer = new PeriodicTimer(Rhythm);
        try
        {
            do
            {
                StageProgress? now = Volatile.Read(ref _latest);
                if (store.Note(id, now?.Stage.ToString() ?? string.Empty, now?.Item ?? string.Empty, now?.Share ?? 0) && !Cancelled)
                {
                    Cancelled = true;
                    await stop.CancelAsync();
                }
            }
            while (await timer.WaitForNextTickAsync(_ended.Token));
        }
        catch (OperationCanceledException)
        {
            return; // the run has ended, and so have its notes
        }
    }
}
