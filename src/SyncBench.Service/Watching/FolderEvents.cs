using Serilog;

namespace SyncBench.Service.Watching;

/// <summary>Tells that something changed in a folder, where the file system tells.</summary>
internal sealed class FolderEvents : IDisposable
{
    private readonly List<FileSystemWatcher> _watchers = [];
    private readonly SemaphoreSlim _changed = new(0);

    internal FolderEvents(IEnumerable<string> folders)
    {
        foreach (string folder in folders)
        {
            try
            {
                var watcher = new FileSystemWatcher(folder) { NotifyFilter = NotifyFilters.DirectoryName };
                watcher.Created += (_, _) => Tell();
                watcher.Renamed += (_, _) => Tell();
                watcher.EnableRaisingEvents = true;
                _watchers.Add(watcher);
            }
            catch (Exception none) when (none is IOException or ArgumentException)
            {
                Log.Warning("{Folder}: no events ({Problem}); it is looked at regularly all the same", folder, none.Message);
            }
        }
    }

    /// <summary>Until something changed, somebody asks for a look, or the time is over.</summary>
    internal async Task WaitAsync(SemaphoreSlim wake, TimeSpan atMost, CancellationToken stopping)
    {
        using var over = CancellationTokenSource.CreateLinkedTokenSource(stopping);
        Task first = await Task.WhenAny(
            _changed.WaitAsync(over.Token), wake.WaitAsync(over.Token), Task.Delay(atMost, over.Token));
        await over.CancelAsync();
        await first.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
    }

    public void Dispose()
    {
        foreach (FileSystemWatcher watcher in _watchers)
        {
            watcher.Dispose();
        }

        _changed.Dispose();
    }

    private void Tell()
    {
        if (_changed.CurrentCount == 0)
        {
            _changed.Release();
        }
    }
}
