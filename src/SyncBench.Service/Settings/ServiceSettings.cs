using System.Net;
using System.Text.Json.Serialization;
using Npgsql;
using SyncBench.Intake;

namespace SyncBench.Service.Settings;

/// <summary>What the administrator says, in one JSON file.</summary>
/// <param name="State">Folder for jobs, log and scratch; on a disk that survives a restart.</param>
/// <param name="PollS">Seconds between two looks at the watched folders; events only make a look come earlier.</param>
/// <param name="JobsAtOnce">Dumps synced side by side; null for as many as suit the machine.</param>
/// <param name="RetryAfterS">Seconds before the first retry of what may pass; each further wait is twice as long.</param>
/// <param name="Database">Connection string of a PostgreSQL that many machines share; null where this one works alone, on files in its state folder.</param>
/// <param name="Schema">Where an editor of text finds docs/service.schema.json; nothing here reads it.</param>
internal sealed record ServiceSettings(
    string State,
    WatchedFolder[] Watch,
    double PollS = ServiceSettings.UsualPollS,
    int? JobsAtOnce = null,
    double RetryAfterS = ServiceSettings.UsualRetryAfterS,
    PageSettings? Page = null,
    string? Database = null,
    [property: JsonPropertyName("$schema")] string? Schema = null)
{
    internal const int MostJobs = 64;
    internal const double UsualPollS = 10;
    internal const double UsualRetryAfterS = 60;

    /// <summary>A token shorter than this can be guessed (from memory: 128 bits in base 64 are 22 characters).</summary>
    private const int ShortestToken = 22;

    public PageSettings Page { get; init; } = Page ?? new PageSettings();

    internal int Jobs => JobsAtOnce ?? UsualJobs.OfThisMachine;

    /// <summary>Null where the page asks for none.</summary>
    [JsonIgnore]
    internal string? Token { get; private init; }

    /// <exception cref="SettingsException">The file cannot be read, or says something unknown, impossible or unsafe.</exception>
    internal static ServiceSettings Load(string path)
    {
        try
        {
            ServiceSettings read = SettingsFile.Read<ServiceSettings>(path, "start again")
                ?? throw new SettingsException($"{path}: the settings are empty. See docs/service.md.");
            ServiceSettings settings = Checked(read, [.. read.Nulls(), .. read.NoPaths()], path).Whole(path);
            return Checked(settings, settings.Mistakes(), path);
        }
        catch (Exception missing) when (missing is IOException or UnauthorizedAccessException)
        {
            throw new SettingsException($"{path}: a settings file cannot be read ({missing.Message.TrimEnd('.')}). Check its path and permissions.");
        }
    }

    internal WatchedFolder? WatchOf(string dumpFolder) =>
        Watch.FirstOrDefault(watch => watch.Folder == Path.GetDirectoryName(dumpFolder));

    /// <summary>Paths are relative to the settings file, and whole from here on.</summary>
    private ServiceSettings Whole(string file)
    {
        string home = Path.GetDirectoryName(Path.GetFullPath(file))!;
        string At(string path) => Path.TrimEndingDirectorySeparator(Path.GetFullPath(path, home));
        return this with
        {
            State = At(State),
            Watch =
            [
                .. Watch.Select(watch => watch with
                {
                    Folder = At(watch.Folder),
                    Out = At(watch.Out),
                    Settings = watch.Settings is { } known ? At(known) : null,
                }),
            ],
            Token = Page.TokenFile is { } token ? TokenIn(At(token), file) : null,
        };
    }

    private static string TokenIn(string tokenFile, string file)
    {
        try
        {
            return File.ReadAllText(tokenFile).Trim();
        }
        catch (Exception missing) when (missing is IOException or UnauthorizedAccessException)
        {
            string why = missing.Message.TrimEnd('.');
            throw new SettingsException(FormattableString.Invariant(
                $"{file}: line {SettingsLine.Of(file, ["page", "token_file"])}: the token cannot be read ({why}). Correct the path or its permissions, then start again."));
        }
    }

    private static ServiceSettings Checked(ServiceSettings settings, IEnumerable<(string Wrong, object[] Where)> mistakes, string path) =>
        mistakes.FirstOrDefault() is ({ } wrong, { } where)
            ? throw new SettingsException(FormattableString.Invariant(
                $"{path}: line {SettingsLine.Of(path, where)}: {wrong}. Correct the file, then start again."))
            : settings;

    /// <summary>The serializer refuses null everywhere but in lists.</summary>
    private IEnumerable<(string Wrong, object[] Where)> Nulls() =>
    [
        .. Enumerable.Range(0, Watch.Length).Where(i => Watch[i] is null).Select(i => ("a watched folder is null", new object[] { "watch", i })),
        .. Enumerable.Range(0, Page.Names?.Length ?? 0).Where(i => Page.Names![i] is null).Select(i => ("a name is null", new object[] { "page", "names", i })),
    ];

    /// <summary>A null character ends a path for the system, so what stands behind it would be lost unseen; the framework refuses it.</summary>
    private IEnumerable<(string Wrong, object[] Where)> NoPaths() =>
        new (string? Path, object[] Where)[] { (State, ["state"]), (Page.TokenFile, ["page", "token_file"]) }
            .Concat(Watch.SelectMany((watch, i) => new (string? Path, object[] Where)[]
            {
                (watch?.Folder, ["watch", i, "folder"]), (watch?.Out, ["watch", i, "out"]), (watch?.Settings, ["watch", i, "settings"]),
            }))
            .Where(one => one.Path?.Contains('\0', StringComparison.Ordinal) == true)
            .Select(one => ("a path cannot hold a null character", one.Where));

    /// <summary>What is wrong, and where it stands in the file.</summary>
    private IEnumerable<(string Wrong, object[] Where)> Mistakes() =>
        Watch.Length == 0 ? [("there is no folder to watch", ["watch"])]
        : Enumerable.Range(0, Watch.Length).SelectMany(i => MistakesOfWatch(i).Select(mistake => (mistake.Wrong, new object[] { "watch", i, mistake.Field })))
            .Concat(Others().Where(other => other.IsWrong).Select(other => (other.Rule, other.Where)));

    private IEnumerable<(string Wrong, string Field)> MistakesOfWatch(int i)
    {
        WatchedFolder watch = Watch[i];
        WatchedFolder[] before = Watch[..i];
        (bool IsWrong, string Rule, string Field)[] rules =
        [
            (Watch.Any(other => Lies(watch.Out, other.Folder)), "results would lie inside a watched folder, and be taken for a dump", "out"),
            (Lies(State, watch.Folder), "state would lie inside this watched folder, and be taken for a dump", "folder"),
            (before.Any(other => other.Folder == watch.Folder), "this folder is watched twice", "folder"),
            (before.Any(other => other.Out == watch.Out), "another watched folder has the same output place, so dumps of one name would meet there", "out"),
            (watch.QuietS is not (>= 0 and <= 86_400), "quiet_s is seconds, 0 to 86400", "quiet_s"),
        ];
        return rules.Where(rule => rule.IsWrong).Select(rule => (rule.Rule, rule.Field));
    }

    private IEnumerable<(bool IsWrong, string Rule, object[] Where)> Others() =>
    [
        (PollS is not (>= 0.05 and <= 3600), "poll_s is seconds, 0.05 to 3600", ["poll_s"]),
        (RetryAfterS is not (>= 0.05 and <= 3600), "retry_after_s is seconds, 0.05 to 3600", ["retry_after_s"]),
        (JobsAtOnce is not (null or (>= 1 and <= MostJobs)), $"jobs_at_once is 1 to {MostJobs}", ["jobs_at_once"]),
        (Database is { } shared && !IsConnection(shared),
            "database is a connection string such as Host=db.tallowick;Database=syncbench;Username=syncbench;Passfile=/etc/syncbench/pgpass", ["database"]),
        (Page.Port is not (>= 0 and <= 65_535), "port is 0 to 65535", ["page", "port"]),
        (!IPAddress.TryParse(Page.Address, out IPAddress? address), "address is an IP address of this machine, such as 127.0.0.1", ["page", "address"]),
        (Token is { Length: < ShortestToken }, $"the token has fewer than {ShortestToken} characters: make one with: openssl rand -base64 24", ["page", "token_file"]),
        (Token is null && address is not null && !IPAddress.IsLoopback(address),
            "the page would be open to the network without a token: set token_file, or serve it on 127.0.0.1 behind a proxy", ["page", "address"]),
    ];

    private static bool IsConnection(string text)
    {
        try
        {
            return new NpgsqlConnectionStringBuilder(text) is { Host: not null };
        }
        catch (ArgumentException)
        {
            return false;
        }
    }

    private static bool Lies(string path, string folder) =>
        path == folder || path.StartsWith(folder + Path.DirectorySeparatorChar, StringComparison.Ordinal);
}
