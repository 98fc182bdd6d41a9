using Quartz;
using Serilog;
using SyncBench.Intake;
using SyncBench.Service.Jobs;
using SyncBench.Service.Settings;

namespace SyncBench.Service.Watching;

/// <summary>
/// Looks at the watched folders, puts every dump in line that is still and not yet run as it is, and sees that each dump
/// in line has its job. Events only make a look come early: on network shares there are none.
/// </summary>
internal sealed class DumpWatch(
    ServiceSettings settings, DumpStore store, ISchedulerFactory engine, Arrivals arrivals, TimeProvider clock) : BackgroundService
{
    private readonly Dictionary<string, Settling> _settling = new(StringComparer.Ordinal);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var events = new FolderEvents(settings.Watch.Select(watch => watch.Folder));
        IScheduler scheduler = await engine.GetScheduler(stoppingToken);
        while (!stoppingToken.IsCancellationRequested)
        {
            try
            {
                arrivals.Set([.. settings.Watch.SelectMany(Look)]);
                await ScheduleAsync(scheduler, stoppingToken);
            }
            catch (Exception failure) when (Database.Blamed(failure) is { } away)
            {
                Log.Warning("The watched folders were not looked at, the database is away ({Problem:l})", Database.InWords(away));
            }
            catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or SchedulerException)
            {
                Log.Error(failure, "A look at the watched folders broke off; the next comes in {Seconds} s", settings.PollS);
            }

            await events.WaitAsync(arrivals.Wake, TimeSpan.FromSeconds(settings.PollS), stoppingToken);
        }
    }

    private List<Arrival> Look(WatchedFolder watch)
    {
        var waiting = new List<Arrival>();
        DirectoryInfo[] dumps;
        try
        {
            dumps = [.. new DirectoryInfo(watch.Folder).EnumerateDirectories().Where(IsDump)];
        }
        catch (Exception gone) when (gone is IOException or UnauthorizedAccessException)
        {
            return [new Arrival(watch.Folder, $"the watched folder cannot be read ({gone.Message.TrimEnd('.')})")];
        }

        foreach (DirectoryInfo dump in dumps)
        {
            string folder = dump.FullName;
            DumpRecord? known = store.Find(DumpRecord.IdOf(folder));
            if (known is { IsActive: true } || IsAsRun(folder, known))
            {
                _settling.Remove(folder);
                continue;
            }

            if (!_settling.TryGetValue(folder, out Settling? settling))
            {
                _settling.Add(folder, settling = new Settling(folder, TimeSpan.FromSeconds(watch.QuietS), clock));
            }

            SettlingState state = settling.Look();
            if (!state.IsStill)
            {
                waiting.Add(new Arrival(folder, state.Reason));
            }
            else
            {
                if (known is null ? store.Arrive(folder) : store.Again(known, "it has changed since the last run"))
                {
                    Log.Information("{Dump}: in line", folder);
                }

                _settling.Remove(folder);
            }
        }

        return waiting;
    }

    /// <summary>
    /// Every dump in line has a job: also those whose job was lost between two writes or with its machine, or taken back at a stop.
    /// </summary>
    private async Task ScheduleAsync(IScheduler scheduler, CancellationToken stopping)
    {
        foreach (DumpRecord dump in store.All().Where(dump => dump is { IsActive: true, IsHeld: false }).OrderBy(dump => dump.ChangedAt))
        {
            JobKey key = DumpJob.KeyOf(dump.Id);
            if (await scheduler.GetJobDetail(key, stopping) is null)
            {
                try
                {
                    await scheduler.ScheduleJob(
                        JobBuilder.Create<DumpJob>().WithIdentity(key).RequestRecovery().Build(),
                        TriggerBuilder.Create().ForJob(key).StartNow().Build(),
                        cancellationToken: stopping);
                }
                catch (ObjectAlreadyExistsException)
                {
                    continue; // another machine was first
                }
            }
        }
    }

    private static bool IsDump(DirectoryInfo folder) => folder.LinkTarget is null && !folder.Name.StartsWith('.');

    private static bool IsAsRun(string folder, DumpRecord? known)
    {
        try
        {
            return known is not null && known.Fingerprint == DumpFingerprint.Of(DumpLister.List(folder));
        }
        catch (Exception gone) when (gone is IOException or UnauthorizedAccessException)
        {
            return false; // the look that follows says what is wrong with it
        }
    }
}
