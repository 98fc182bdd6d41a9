using System.Data.Common;
using Serilog;
using SyncBench.Service.Settings;

namespace SyncBench.Service.Jobs;

/// <summary>
/// Where runs keep what they found out for the next one: beside the results, where whichever machine runs the dump again finds
/// it; a hidden folder is not served. A day after a dump's last run it is deleted, or as soon as another dump needs the room.
/// </summary>
internal sealed class KeptFolders(ServiceSettings settings, DumpStore store, TimeProvider clock) : BackgroundService
{
    private static readonly TimeSpan KeptFor = TimeSpan.FromDays(1), LookEvery = TimeSpan.FromHours(1);

    internal static string Of(string output) => Path.Combine(output, ".kept");

    /// <summary>What no dump in line needs.</summary>
    internal void MakeRoom() => Delete(clock.GetUtcNow());

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(LookEvery, clock);
        do
        {
            try
            {
                Delete(clock.GetUtcNow() - KeptFor);
            }
            catch (DbException away)
            {
                Log.Warning("What runs kept was not looked at, the database is away ({Problem:l})", Database.InWords(away));
            }
        }
        while (await timer.WaitForNextTickAsync(stoppingToken));
    }

    private void Delete(DateTimeOffset lastRunBefore)
    {
        foreach (DumpRecord dump in store.All().Where(dump => !dump.IsActive && dump.ChangedAt < lastRunBefore))
        {
            try
            {
                if (settings.WatchOf(dump.Folder) is { } watch && Of(watch.OutputOf(dump.Folder)) is var kept && Directory.Exists(kept))
                {
                    Directory.Delete(kept, recursive: true);
                }
            }
            catch (Exception left) when (left is IOException or UnauthorizedAccessException)
            {
                Log.Warning("{Dump}: what its runs kept could not be deleted ({Problem:l})", dump.Folder, left.Message);
            }
        }
    }
}
