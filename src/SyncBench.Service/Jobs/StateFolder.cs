using SyncBench.Pipeline;

namespace SyncBench.Service.Jobs;

/// <summary>The service's own folder, held by one process at a time: two would each empty the other's scratch.</summary>
internal sealed class StateFolder : IDisposable
{
    private readonly FileStream _hold;

    private StateFolder(string path, FileStream hold) => (FullPath, _hold) = (path, hold);

    internal string FullPath { get; }

    internal string DumpsFile => Path.Combine(FullPath, "dumps.db");

    internal string JobsFile => Path.Combine(FullPath, "jobs.db");

    internal string LogFile => Path.Combine(FullPath, "service.log");

    /// <exception cref="RunRefusedException">It cannot be made, or another service holds it.</exception>
    internal static StateFolder Open(string path)
    {
        try
        {
            Directory.CreateDirectory(path);
            return new StateFolder(
                path, new FileStream(Path.Combine(path, "in-use"), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None));
        }
        catch (Exception wrong) when (wrong is IOException or UnauthorizedAccessException)
        {
            throw new RunRefusedException(
                $"{path}: the state folder cannot be used ({wrong.Message.TrimEnd('.')}). See whether another service runs on it, and its permissions.",
                wrongUsage: false);
        }
    }

    public void Dispose() => _hold.Dispose();
}
