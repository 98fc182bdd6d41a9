using System.Data.Common;
using Microsoft.Data.Sqlite;
using Npgsql;
using Quartz;
using SyncBench.Pipeline;
using SyncBench.Service.Settings;

namespace SyncBench.Service.Jobs;

/// <summary>Where dumps and jobs are kept: in two files of this machine, or in one PostgreSQL that many machines share.</summary>
internal sealed class Database : IDisposable
{
    /// <summary>Any number that no other program on the same database takes for its own lock.</summary>
    private const long TablesLock = 0x53_79_6e_63_42_65;

    /// <summary>A machine that says nothing for so long (twice it, with the first) is dead to the engine, and its jobs go to others.</summary>
    private static readonly TimeSpan CheckIn = TimeSpan.FromSeconds(7);

    private static readonly TimeSpan JobsLook = TimeSpan.FromSeconds(5);

    private readonly string? _shared;
    private readonly string _jobsFile;

    private Database(string? shared, StateFolder state)
    {
        (_shared, _jobsFile) = (shared, state.JobsFile);
        Dumps = shared is null
            ? SqliteFactory.Instance.CreateDataSource(new SqliteConnectionStringBuilder { DataSource = state.DumpsFile }.ToString())
            : NpgsqlDataSource.Create(shared);
    }

    /// <summary>Holds the table of dumps.</summary>
    internal DbDataSource Dumps { get; }

    internal bool IsShared => _shared is not null;

    internal static Database Of(ServiceSettings settings, StateFolder state) => new(settings.Database, state);

    /// <summary>Where the engine keeps its jobs, and whether other machines take of them.</summary>
    internal void KeepJobs(IPersistentStoreBuilder jobs)
    {
        if (_shared is null)
        {
            jobs.UseSqlite(SqliteFactory.Instance, new SqliteConnectionStringBuilder { DataSource = _jobsFile }.ToString());
        }
        else
        {
            jobs.UsePostgres(NpgsqlFactory.Instance, _shared);
            jobs.UseClustering(machines => (machines.CheckinInterval, machines.CheckinMisfireThreshold) = (CheckIn, CheckIn));
        }

        // However late a job begins, it is not a date that was missed: the engine would let it lie until its next look for those.
        jobs.ConfigureStore(store => (store.MisfireThreshold, store.MisfireHandlerFrequency) = (TimeSpan.FromDays(365), TimeSpan.FromMinutes(1)));
        jobs.UseSystemTextJsonSerializer();
        jobs.ProvisionSchema();
    }

    /// <summary>Each machine has a name of its own there, and looks for what others have put in line: nobody tells it.</summary>
    internal void ShareJobs(QuartzSchedulerOptions machine)
    {
        if (IsShared)
        {
            (machine.GenerateInstanceId, machine.IdleWaitTime) = (true, JobsLook);
        }
    }

    /// <summary>Makes tables while no other machine does: two that begin together would each find them missing.</summary>
    /// <exception cref="RunRefusedException">The shared database cannot be reached, or does not let tables be made.</exception>
    internal async Task PrepareAsync(Func<Task> makeTables)
    {
        if (!IsShared)
        {
            await makeTables();
            return;
        }

        try
        {
            await using DbConnection turn = await Dumps.OpenConnectionAsync();
            await LockAsync(turn, "SELECT pg_advisory_lock(@lock)");
            await makeTables();
            await LockAsync(turn, "SELECT pg_advisory_unlock(@lock)");
        }
        catch (Exception wrong) when (Blamed(wrong) is not null)
        {
            throw new RunRefusedException(
                $"the database cannot be used ({InWords(Blamed(wrong)!)}). Check database in the settings, and whether its server runs.",
                wrongUsage: false, cause: wrong);
        }
    }

    /// <summary>What the database has to do with a failure; null where it has nothing.</summary>
    internal static DbException? Blamed(Exception? failure) => failure as DbException ?? (failure is null ? null : Blamed(failure.InnerException));

    /// <summary>What is wrong, in one line: a server's complaint may go on for several.</summary>
    internal static string InWords(DbException away) => away.Message.Split('\n')[0].TrimEnd('.', '\r');

    public void Dispose() => Dumps.Dispose();

    private static async Task LockAsync(DbConnection connection, string sql)
    {
        await using DbCommand command = connection.CreateCommand();
#pragma warning disable CA2100 // Two constants, just above.
        command.CommandText = sql;
#pragma warning restore CA2100
        command.CommandTimeout = 0; // others may have tables to bring up to date
        DbParameter name = command.CreateParameter();
        (name.ParameterName, name.Value) = ("@lock", TablesLock);
        command.Parameters.Add(name);
        await command.ExecuteNonQueryAsync();
    }
}
