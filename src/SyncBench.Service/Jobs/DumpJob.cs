using System.Data.Common;
using System.Globalization;
using Quartz;
using Serilog;
using Serilog.Core;
using SyncBench.Intake;
using SyncBench.Pipeline;
using SyncBench.Selection;
using SyncBench.Service.Settings;

namespace SyncBench.Service.Jobs;

/// <summary>One run of one dump. The engine never starts two of one key at once, and starts one again whose machine died.</summary>
[DisallowConcurrentExecution]
internal sealed class DumpJob(
    ServiceSettings settings, DumpStore store, KeptFolders kept, ScratchFolder scratch, ServiceMetrics metrics, IHostApplicationLifetime service, TimeProvider clock) : IJob
{
    /// <summary>A dump in whose run the service died so often is likely to be what kills it.</summary>
    internal const int MostStarts = 6;

    /// <summary>In the folder of results; every run of the dump adds to it.</summary>
    internal const string LogName = "syncbench.log";

    /// <summary>With each wait twice the one before: about a day at the usual first wait.</summary>
    private const int MostTries = 11;

    private static readonly TimeSpan StoreAgainAfter = TimeSpan.FromSeconds(1);

    internal static JobKey KeyOf(string id) => new(id, "dumps");

    public async ValueTask Execute(IJobExecutionContext context, CancellationToken cancellationToken = default)
    {
        if (store.Find(context.JobDetail.Key.Name) is not { IsActive: true } dump
            || service.ApplicationStopping.IsCancellationRequested // it is in line, and stays there
            || !store.Begin(dump.Id))
        {
            return;
        }

        RunEnding ending =
            dump.CancelWanted ? new RunEnding(DumpState.Cancelled, "cancelled before it began", FingerprintOf(dump))
            : dump.Starts >= MostStarts ? new RunEnding(
                DumpState.Failed, $"the service died {dump.Starts} times in the middle of this run: look at the log, then run it again", FingerprintOf(dump))
            : await RunToItsEndAsync(dump, cancellationToken);
        switch (ending.State)
        {
            case DumpState.Waiting:
                store.PutBack(dump.Id, ending.Reason);
                break;
            case DumpState.Retrying:
                await RetryAsync(context, dump, ending.Reason);
                break;
            default:
                await EndAsync(dump, ending);
                break;
        }
    }

    private async Task<RunEnding> RunToItsEndAsync(DumpRecord dump, CancellationToken cancellation)
    {
        string? fingerprint = null;
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(cancellation, service.ApplicationStopping);
        await using var progress = new RunProgress(store, dump.Id, stop, metrics, clock);
        try
        {
            DumpListing listing = DumpLister.List(dump.Folder);
            fingerprint = DumpFingerprint.Of(listing);
            progress.Begin();
            DumpResult result = await RunAsync(dump, listing, progress, stop.Token);
            progress.RunEnded();
            // A share that went away meanwhile makes files unreadable: not theirs to answer for, so this throws and it runs again.
            Directory.GetFileSystemEntries(dump.Folder);
            return new RunEnding(result.NeedsAPerson ? DumpState.NeedsAPerson : DumpState.Done, InWords(result), fingerprint);
        }
        catch (OperationCanceledException) when (progress.Cancelled)
        {
            return new RunEnding(DumpState.Cancelled, "cancelled by a person", fingerprint);
        }
        catch (OperationCanceledException) when (progress.Lost)
        {
            Log.Warning("{Dump}: the run was given up here, it may be another machine's by now", dump.Folder);
            return new RunEnding(DumpState.Waiting, "the database was away", null);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            return new RunEnding(DumpState.Waiting, "the service was stopped", null);
        }
        catch (Exception failure) when (MayPass(failure) && dump.Tries < MostTries)
        {
            return new RunEnding(DumpState.Retrying, failure.Message, null);
        }
        catch (Exception failure)
        {
            Log.Error(failure, "{Dump}: the run failed", dump.Folder);
            return new RunEnding(DumpState.Failed, failure.Message, fingerprint);
        }
    }

    /// <summary>From here on the dump is not run again by itself.</summary>
    private async Task EndAsync(DumpRecord dump, RunEnding ending)
    {
        metrics.RunEnded(ending.State);
        while (true)
        {
            try
            {
                store.End(dump.Id, ending.State, ending.Reason, ending.Fingerprint);
                return;
            }
            catch (DbException away) when (!service.ApplicationStopping.IsCancellationRequested)
            {
                Log.Warning("{Dump}: its end could not be stored yet ({Problem:l})", dump.Folder, Database.InWords(away));
                await Task.Delay(StoreAgainAfter, clock, service.ApplicationStopping);
            }
        }
    }

    private async Task<DumpResult> RunAsync(
        DumpRecord dump, DumpListing listing, IProgress<StageProgress> progress, CancellationToken cancellation)
    {
        WatchedFolder watch = settings.WatchOf(dump.Folder)
            ?? throw new RunRefusedException($"{dump.Folder}: its folder is no longer watched.", wrongUsage: true);
        DumpSettings crew = watch.Settings is { } file ? DumpSettings.Load(file) : DumpSettings.Usual;
        OutputFolder output = OutputFolder.Open(watch.OutputOf(dump.Folder), dump.Folder);
        DiskRoom.Check(listing, output.FullPath, scratch.FullPath, kept.MakeRoom);
        await using Logger log = new LoggerConfiguration()
            .WriteTo.File(Path.Combine(output.FullPath, LogName), formatProvider: CultureInfo.InvariantCulture)
            .CreateLogger();
        Log.Information("{Dump}: the run begins", dump.Folder);
        DumpResult result = await new DumpRun(log, clock).RunAsync(
            new RunRequest(dump.Folder, output, crew, KeptFolders.Of(output.FullPath), listing), progress, cancellation);
        Log.Information("{Dump}: the run ended, {Result:l}", dump.Folder, InWords(result));
        return result;
    }

    private async Task RetryAsync(IJobExecutionContext context, DumpRecord dump, string problem)
    {
        TimeSpan wait = TimeSpan.FromSeconds(settings.RetryAfterS * Math.Pow(2, dump.Tries));
        Log.Warning("{Dump}: {Problem} It runs again in {Wait}", dump.Folder, problem, wait);
        store.RetryLater(dump.Id, problem);
        metrics.RunEnded(DumpState.Retrying);
        await context.Scheduler.ScheduleJob(
            TriggerBuilder.Create().ForJob(context.JobDetail.Key).StartAt(clock.GetUtcNow() + wait).Build(),
            cancellationToken: CancellationToken.None);
    }

    /// <summary>A share that went away or a full disk may come back; what a person wrote wrongly, or a bad file, stays as it is.</summary>
    private static bool MayPass(Exception failure) => failure switch
    {
        RunRefusedException refused => refused.InnerException is IOException,
        IOException or UnauthorizedAccessException => true,
        _ => false,
    };

    private static string FingerprintOf(DumpRecord dump) => Directory.Exists(dump.Folder) ? DumpFingerprint.Of(DumpLister.List(dump.Folder)) : dump.Fingerprint;

    private static string InWords(DumpResult result)
    {
        int look = result.Files.Count(file => file.NeedsAPerson) + result.Findings.Count(finding => finding.NeedsAPerson);
        string sum = string.Create(CultureInfo.InvariantCulture, $"{result.Files.Length} files, {result.Takes.Length} takes");
        return look == 0 ? sum : string.Create(CultureInfo.InvariantCulture, $"{sum}, {look} to look at");
    }
}
