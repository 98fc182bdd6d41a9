using System.Data.Common;
using Serilog;
using SyncBench.Pipeline;

namespace SyncBench.Service.Jobs;

/// <summary>
/// Carries a run's progress to the store once a second, which keeps the run ours, a person's wish to stop from there to the run,
/// and the stages' times to the metrics.
/// </summary>
internal sealed class RunProgress(
    DumpStore store, string id, CancellationTokenSource stop, ServiceMetrics metrics, TimeProvider clock) : IProgress<StageProgress>, IAsyncDisposable
{
    private static readonly TimeSpan Rhythm = TimeSpan.FromSeconds(1);

    private readonly CancellationTokenSource _ended = new();
    private readonly Lock _change = new();
    private long _since = clock.GetTimestamp();
    private StageProgress? _latest;
    private StageProgress? _read;
    private Task _notes = Task.CompletedTask;

    /// <summary>Whether it was a person who stopped the run.</summary>
    internal bool Cancelled { get; private set; }

    /// <summary>Whether another machine has the run, or the database was away for so long that another may have it soon.</summary>
    internal bool Lost { get; private set; }

    public void Report(StageProgress value)
    {
        // Checksums run beside the other stages and read every byte: of them the bytes are shown, the stage would only flicker.
        if (value.Stage == Stage.Checksums)
        {
            Volatile.Write(ref _read, value);
            return;
        }

        lock (_change)
        {
            // Files of a stage end on several threads: one that is late does not turn the run back.
            if (_latest is null || value.Stage >= _latest.Stage)
            {
                EndStageBefore(value.Stage);
                Volatile.Write(ref _latest, value);
            }
        }
    }

    /// <summary>The run came to its end, and so did its last stage.</summary>
    internal void RunEnded()
    {
        lock (_change)
        {
            EndStageBefore(null);
        }
    }

    private void EndStageBefore(Stage? next)
    {
        if (_latest?.Stage != next)
        {
            if (_latest is { } last)
            {
                metrics.StageEnded(last.Stage, clock.GetElapsedTime(_since));
            }

            _since = clock.GetTimestamp();
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
        using var silence = new CancellationTokenSource(store.LongestSilence);
        using CancellationTokenRegistration lost = silence.Token.Register(Lose);
        try
        {
            do
            {
                await NoteOnceAsync(silence);
            }
            while (await timer.WaitForNextTickAsync(_ended.Token));
        }
        catch (OperationCanceledException)
        {
            return; // the run has ended, and so have its notes
        }
    }

    private async Task NoteOnceAsync(CancellationTokenSource silence)
    {
        StageProgress? now = Volatile.Read(ref _latest);
        StageProgress? read = Volatile.Read(ref _read);
        var noted = new RunNote(now?.Stage.ToString() ?? string.Empty, now?.Item ?? string.Empty, now?.Share ?? 0, read?.BytesDone ?? 0, read?.BytesAll ?? 0);
        try
        {
            bool? stopWanted = store.Note(id, noted);
            if (stopWanted is null)
            {
                Lose();
            }
            else if (stopWanted.Value && !Cancelled)
            {
                Cancelled = true;
                await stop.CancelAsync();
            }

            silence.CancelAfter(store.LongestSilence);
        }
        catch (DbException away)
        {
            Log.Warning("Progress could not be stored ({Problem:l})", Database.InWords(away));
        }
    }

    private void Lose()
    {
        Lost = true;
        stop.Cancel();
    }
}
