using System.Globalization;
using Microsoft.Data.Sqlite;

namespace SyncBench.Service.Jobs;

/// <summary>The dumps and how far they are, in one SQLite file. Every change is one statement, so it happens whole or not at all.</summary>
internal sealed class DumpStore(string file, TimeProvider clock)
{
    private const string Columns =
        "id, folder, state, reason, fingerprint, stage, item, share, bytes_done, bytes_all, starts, tries, cancel_wanted, changed_at";

    private readonly string _connection = new SqliteConnectionStringBuilder { DataSource = file }.ToString();

    /// <summary>Makes the table where it is missing, and in one of an earlier version what it lacks.</summary>
    internal void Prepare()
    {
        Execute(
            """
            PRAGMA journal_mode = WAL;
            CREATE TABLE IF NOT EXISTS dumps (
                id TEXT PRIMARY KEY, folder TEXT NOT NULL, state TEXT NOT NULL, reason TEXT NOT NULL DEFAULT '',
                fingerprint TEXT NOT NULL DEFAULT '', stage TEXT NOT NULL DEFAULT '', item TEXT NOT NULL DEFAULT '',
                share REAL NOT NULL DEFAULT 0, starts INTEGER NOT NULL DEFAULT 0, tries INTEGER NOT NULL DEFAULT 0,
                cancel_wanted INTEGER NOT NULL DEFAULT 0, changed_at TEXT NOT NULL);
            """);
        if (!HasColumn("bytes_all"))
        {
            Execute("ALTER TABLE dumps ADD COLUMN bytes_all INTEGER NOT NULL DEFAULT 0");
            Execute("ALTER TABLE dumps ADD COLUMN bytes_done INTEGER NOT NULL DEFAULT 0");
        }
    }

    internal DumpRecord[] All() => Read($"SELECT {Columns} FROM dumps ORDER BY changed_at DESC, folder");

    internal DumpRecord? Find(string id) => Read($"SELECT {Columns} FROM dumps WHERE id = $id", ("$id", id)).FirstOrDefault();

    /// <summary>Puts a dump in line, unless it is in line or running already.</summary>
    /// <returns>Whether it was put there.</returns>
    internal bool Enqueue(string folder, string reason) => Execute(
        """
        INSERT INTO dumps (id, folder, state, reason, changed_at) VALUES ($id, $folder, 'Waiting', $reason, $now)
        ON CONFLICT (id) DO UPDATE SET state = 'Waiting', reason = $reason, starts = 0, tries = 0, cancel_wanted = 0,
            changed_at = $now
        WHERE state NOT IN ('Waiting', 'Running', 'Retrying')
        """,
        ("$id", DumpRecord.IdOf(folder)), ("$folder", folder), ("$reason", reason), ("$now", Now())) > 0;

    internal void Begin(string id) => Execute(
        "UPDATE dumps SET state = 'Running', reason = '', starts = starts + 1, stage = '', item = '', share = 0, bytes_done = 0, bytes_all = 0, changed_at = $now WHERE id = $id",
        ("$id", id), ("$now", Now()));

    /// <returns>Whether a person wants the run to stop.</returns>
    internal bool Note(string id, RunNote now)
    {
        Execute(
            "UPDATE dumps SET stage = $stage, item = $item, share = $share, bytes_done = $done, bytes_all = $all WHERE id = $id",
            ("$id", id), ("$stage", now.Stage), ("$item", now.Item), ("$share", now.Share), ("$done", now.BytesDone), ("$all", now.BytesAll));
        return Find(id) is { CancelWanted: true };
    }

    /// <param name="fingerprint">Of what was run, so that it is not run again by itself; null where it is to be.</param>
    internal void End(string id, DumpState state, string reason, string? fingerprint) => Execute(
        """
        UPDATE dumps SET state = $state, reason = $reason, fingerprint = coalesce($fingerprint, fingerprint), starts = 0,
            tries = 0, cancel_wanted = 0, changed_at = $now WHERE id = $id
        """,
        ("$id", id), ("$state", state.ToString()), ("$reason", reason), ("$fingerprint", fingerprint), ("$now", Now()));

    internal void RetryLater(string id, string reason) => Execute(
        "UPDATE dumps SET state = 'Retrying', reason = $reason, starts = 0, tries = tries + 1, changed_at = $now WHERE id = $id",
        ("$id", id), ("$reason", reason), ("$now", Now()));

    /// <summary>Back in line: the service stops, the dump is not to blame.</summary>
    internal void PutBack(string id) => Execute(
        "UPDATE dumps SET state = 'Waiting', reason = 'the service was stopped', starts = 0, changed_at = $now WHERE id = $id",
        ("$id", id), ("$now", Now()));

    /// <returns>Whether there was a run to stop.</returns>
    internal bool WantCancel(string id) => Execute(
        "UPDATE dumps SET cancel_wanted = 1 WHERE id = $id AND state IN ('Waiting', 'Running', 'Retrying')", ("$id", id)) > 0;

    private bool HasColumn(string name)
    {
        using SqliteConnection connection = Open();
        using SqliteCommand command = Command(connection, "SELECT count(*) FROM pragma_table_info('dumps') WHERE name = $name", [("$name", name)]);
        return (long)command.ExecuteScalar()! > 0;
    }

    private string Now() => clock.GetUtcNow().ToString("O", CultureInfo.InvariantCulture);

    private int Execute(string sql, params (string Name, object? Value)[] values)
    {
        using SqliteConnection connection = Open();
        using SqliteCommand command = Command(connection, sql, values);
        return command.ExecuteNonQuery();
    }

    private DumpRecord[] Read(string sql, params (string Name, object? Value)[] values)
    {
        using SqliteConnection connection = Open();
        using SqliteCommand command = Command(connection, sql, values);
        using SqliteDataReader row = command.ExecuteReader();
        var records = new List<DumpRecord>();
        while (row.Read())
        {
            records.Add(new DumpRecord(
                row.GetString(0), row.GetString(1), Enum.Parse<DumpState>(row.GetString(2)), row.GetString(3), row.GetString(4),
                new RunNote(row.GetString(5), row.GetString(6), row.GetDouble(7), row.GetInt64(8), row.GetInt64(9)),
                row.GetInt32(10), row.GetInt32(11), row.GetBoolean(12),
                DateTimeOffset.Parse(row.GetString(13), CultureInfo.InvariantCulture)));
        }

        return [.. records];
    }

    private SqliteConnection Open()
    {
        var connection = new SqliteConnection(_connection);
        connection.Open();
        return connection;
    }

    private static SqliteCommand Command(SqliteConnection connection, string sql, (string Name, object? Value)[] values)
    {
        SqliteCommand command = connection.CreateCommand();
#pragma warning disable CA2100 // Every statement is a constant of this file; values are parameters.
        command.CommandText = sql;
#pragma warning restore CA2100
        foreach ((string name, object? value) in values)
        {
            command.Parameters.AddWithValue(name, value ?? DBNull.Value);
        }

        return command;
    }
}
