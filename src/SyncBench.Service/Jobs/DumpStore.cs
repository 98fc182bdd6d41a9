using System.Data.Common;
using System.Globalization;

namespace SyncBench.Service.Jobs;

/// <summary>
/// The dumps and how far they are, in one table. Every change is one statement, so it happens whole or not at all. A run is
/// held by whoever began it for as long as it is noted: the engine may take a machine for dead that only could not reach the
/// database, and then this alone keeps the dump from running twice at once.
/// </summary>
internal sealed class DumpStore(Database database, TimeProvider clock)
{
    /// <summary>A run of which nothing was noted for so long, by the database's clock, may be begun by another machine.</summary>
    private const int HeldS = 30;

    private const string Columns =
        "id, folder, state, reason, fingerprint, stage, item, share, bytes_done, bytes_all, starts, tries, cancel_wanted <> 0, changed_at, runner";

    private const string Active = "('Waiting', 'Running', 'Retrying')";

    /// <summary>Columns of later versions than the first, whose tables are still about.</summary>
    private static readonly (string Name, string Kind)[] Later =
    [
        ("bytes_all", "BIGINT NOT NULL DEFAULT 0"), ("bytes_done", "BIGINT NOT NULL DEFAULT 0"),
        ("runner", "TEXT NOT NULL DEFAULT ''"), ("beat", "DOUBLE PRECISION NOT NULL DEFAULT 0"),
    ];

    /// <summary>This process, for no other to be taken for it: machines may have one name, and process numbers come again.</summary>
    private readonly string _me = $"{Environment.MachineName} {Guid.NewGuid():N}";

    private readonly string _now = database.IsShared ? "extract(epoch FROM clock_timestamp())" : "unixepoch()";

    /// <summary>A run that could not be noted for so long has to end: soon another machine may begin it. Never on one machine alone.</summary>
    internal TimeSpan LongestSilence { get; } = database.IsShared ? TimeSpan.FromSeconds(HeldS * 2 / 3) : Timeout.InfiniteTimeSpan;

    /// <summary>Makes the table where it is missing, and in one of an earlier version what it lacks.</summary>
    internal void Prepare()
    {
        if (!database.IsShared)
        {
            Execute("PRAGMA journal_mode = WAL");
        }

        Execute(
            """
            CREATE TABLE IF NOT EXISTS dumps (
                id TEXT PRIMARY KEY, folder TEXT NOT NULL, state TEXT NOT NULL, reason TEXT NOT NULL DEFAULT '',
                fingerprint TEXT NOT NULL DEFAULT '', stage TEXT NOT NULL DEFAULT '', item TEXT NOT NULL DEFAULT '',
                share DOUBLE PRECISION NOT NULL DEFAULT 0, starts INTEGER NOT NULL DEFAULT 0, tries INTEGER NOT NULL DEFAULT 0,
                cancel_wanted INTEGER NOT NULL DEFAULT 0, changed_at TEXT NOT NULL)
            """);
        string[] there = Read("SELECT * FROM dumps LIMIT 0", rows => Enumerable.Range(0, rows.FieldCount).Select(rows.GetName).ToArray());
        foreach ((string name, string kind) in Later.Where(column => !there.Contains(column.Name, StringComparer.Ordinal)))
        {
            Execute($"ALTER TABLE dumps ADD COLUMN {name} {kind}");
        }

        if (!database.IsShared)
        {
            Execute("UPDATE dumps SET beat = 0"); // whoever held a run here is gone: the state folder is ours
        }
    }

    internal DumpRecord[] All() => Records($"SELECT {Columns}, {Held} FROM dumps ORDER BY changed_at DESC, folder");

    internal DumpRecord? Find(string id) => Records($"SELECT {Columns}, {Held} FROM dumps WHERE id = @id", ("@id", id)).FirstOrDefault();

    /// <summary>Puts a dump in line that was never seen.</summary>
    /// <returns>Whether it was put there; another machine may have been first.</returns>
    internal bool Arrive(string folder) => Execute(
        """
        INSERT INTO dumps (id, folder, state, reason, changed_at) VALUES (@id, @folder, 'Waiting', 'it has arrived', @now)
        ON CONFLICT (id) DO NOTHING
        """,
        ("@id", DumpRecord.IdOf(folder)), ("@folder", folder), ("@now", Now())) > 0;

    /// <summary>Puts a dump in line again, unless it is in line or running, or has been run since it was read.</summary>
    /// <returns>Whether it was put there.</returns>
    internal bool Again(DumpRecord dump, string reason) => Execute(
        $"""
        UPDATE dumps SET state = 'Waiting', reason = @reason, starts = 0, tries = 0, cancel_wanted = 0, changed_at = @now
        WHERE id = @id AND state NOT IN {Active} AND fingerprint = @seen
        """,
        ("@id", dump.Id), ("@reason", reason), ("@seen", dump.Fingerprint), ("@now", Now())) > 0;

    /// <returns>Whether it may be run: it is still to be, and nobody else holds it.</returns>
    internal bool Begin(string id) => Execute(
        $"""
        UPDATE dumps SET state = 'Running', reason = '', starts = starts + 1, stage = '', item = '', share = 0, bytes_done = 0,
            bytes_all = 0, runner = @me, beat = {_now}, changed_at = @now
        WHERE id = @id AND state IN {Active} AND NOT {Held}
        """,
        ("@id", id), ("@me", _me), ("@now", Now())) > 0;

    /// <returns>Whether a person wants the run to stop; null where it is no longer ours.</returns>
    internal bool? Note(string id, RunNote now) => Read(
        $"""
        UPDATE dumps SET stage = @stage, item = @item, share = @share, bytes_done = @done, bytes_all = @all, beat = {_now}
        WHERE id = @id AND runner = @me RETURNING cancel_wanted <> 0
        """,
        row => row.Read() ? row.GetBoolean(0) : (bool?)null,
        ("@id", id), ("@me", _me), ("@stage", now.Stage), ("@item", now.Item), ("@share", now.Share), ("@done", now.BytesDone), ("@all", now.BytesAll));

    /// <param name="fingerprint">Of what was run, so that it is not run again by itself; null where it is to be.</param>
    internal void End(string id, DumpState state, string reason, string? fingerprint) => LetGo(
        id, state, "fingerprint = coalesce(@fingerprint, fingerprint), tries = 0, cancel_wanted = 0", reason, ("@fingerprint", fingerprint));

    internal void RetryLater(string id, string reason) => LetGo(id, DumpState.Retrying, "tries = tries + 1", reason);

    /// <summary>Back in line: the dump is not to blame.</summary>
    internal void PutBack(string id, string reason) => LetGo(id, DumpState.Waiting, "tries = tries", reason);

    /// <returns>Whether there was a run to stop.</returns>
    internal bool WantCancel(string id) => Execute($"UPDATE dumps SET cancel_wanted = 1 WHERE id = @id AND state IN {Active}", ("@id", id)) > 0;

    private string Held => $"(beat > {_now} - {HeldS})";

    /// <summary>Whoever lost a run meanwhile changes nothing: it is another's.</summary>
    private void LetGo(string id, DumpState state, string change, string reason, params (string Name, object? Value)[] more) => Execute(
        $"UPDATE dumps SET state = @state, reason = @reason, {change}, starts = 0, runner = '', beat = 0, changed_at = @now WHERE id = @id AND runner = @me",
        [("@id", id), ("@me", _me), ("@state", state.ToString()), ("@reason", reason), ("@now", Now()), .. more]);

    private string Now() => clock.GetUtcNow().ToString("O", CultureInfo.InvariantCulture);

    private int Execute(string sql, params (string Name, object? Value)[] values)
    {
        using DbCommand command = Command(sql, values);
        return command.ExecuteNonQuery();
    }

    private DumpRecord[] Records(string sql, params (string Name, object? Value)[] values) => Read(
        sql,
        row =>
        {
            var records = new List<DumpRecord>();
            while (row.Read())
            {
                records.Add(new DumpRecord(
                    row.GetString(0), row.GetString(1), Enum.Parse<DumpState>(row.GetString(2)), row.GetString(3), row.GetString(4),
                    new RunNote(row.GetString(5), row.GetString(6), row.GetDouble(7), row.GetInt64(8), row.GetInt64(9)),
                    row.GetInt32(10), row.GetInt32(11), row.GetBoolean(12), DateTimeOffset.Parse(row.GetString(13), CultureInfo.InvariantCulture),
                    database.IsShared ? row.GetString(14).Split(' ')[0] : string.Empty, row.GetBoolean(15)));
            }

            return records.ToArray();
        },
        values);

    private T Read<T>(string sql, Func<DbDataReader, T> read, params (string Name, object? Value)[] values)
    {
        using DbCommand command = Command(sql, values);
        using DbDataReader rows = command.ExecuteReader();
        return read(rows);
    }

    private DbCommand Command(string sql, (string Name, object? Value)[] values)
    {
        DbCommand command = database.Dumps.CreateCommand(sql); // of constants of this file; values are parameters
        foreach ((string name, object? value) in values)
        {
            DbParameter parameter = command.CreateParameter();
            (parameter.ParameterName, parameter.Value) = (name, value ?? DBNull.Value);
            command.Parameters.Add(parameter);
        }

        return command;
    }
}
