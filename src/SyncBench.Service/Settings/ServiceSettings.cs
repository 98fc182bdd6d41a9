using System.Net;
using System.Text.Json.Serialization;
using Npgsql;
using SyncBench.Intake;

namespace SyncBench.Service.Settings;

/// <summary>What the administrator says, in one JSON file.</summary>
/// <param name="State">Folder for jobs, log and scratch; on a disk that survives a restart.</param>
/// <param name="PollS">Seconds between two looks at the watched folders; events only make a look come earlier.</param>
/// <param name="JobsAtOnce">Dumps synced side by side.</param>
/// <param name="RetryAfterS">Seconds before the first retry of what may pass; each further wait is twice as long.</param>
/// <param name="Database">Connection string of a PostgreSQL that many machines share; null where this one works alone, on files in its state folder.</param>
internal sealed record ServiceSettings(
    string State,
    WatchedFolder[] Watch,
    double PollS = ServiceSettings.UsualPollS,
    int JobsAtOnce = 1,
    double RetryAfterS = ServiceSettings.UsualRetryAfterS,
    PageSettings? Page = null,
    string? Database = null)
{
    internal const double UsualPollS = 10;
    internal const double UsualRetryAfterS = 60;

    /// <summary>A token shorter than this can be guessed (from memory: 128 bits in base 64 are 22 characters).</summary>
    private const int ShortestToken = 22;

    public PageSettings Page { get; init; } = Page ?? new PageSettings();

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
            ServiceSettings settings = read.Whole(Path.GetDirectoryName(Path.GetFullPath(path))!);
            return settings.Wrong() is { } wrong ? throw new SettingsException($"{path}: {wrong}. Correct the file, then start again.") : settings;
        }
        catch (Exception missing) when (missing is IOException or UnauthorizedAccessException)
        {
            throw new SettingsException($"{path}: a settings file cannot be read ({missing.Message.TrimEnd('.')}). Check its path and permissions.");
        }
    }

    internal WatchedFolder? WatchOf(string dumpFolder) =>
        Watch.FirstOrDefault(watch => watch.Folder == Path.GetDirectoryName(dumpFolder));

    /// <summary>Paths are relative to the settings file, and whole from here on.</summary>
    private ServiceSettings Whole(string home)
    {
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
                    Settings = watch.Settings is { } file ? At(file) : null,
                }),
            ],
            Token = Page.TokenFile is { } token ? File.ReadAllText(At(token)).Trim() : null,
        };
    }

    private string? Wrong() =>
        Watch.Length == 0 ? "there is no folder to watch"
        : Watch.FirstOrDefault(watch => Lies(watch.Out, watch.Folder) || Lies(State, watch.Folder)) is { } inside
            ? $"results or state would lie inside the watched folder {inside.Folder}, and be taken for a dump"
        : Watch.DistinctBy(watch => watch.Folder).Count() < Watch.Length ? "a folder is watched twice"
        : Watch.DistinctBy(watch => watch.Out).Count() < Watch.Length ? "two watched folders have the same output place, so dumps of one name would meet there"
        : Watch.Any(watch => watch.QuietS is not (>= 0 and <= 86_400)) ? "quiet_s is seconds, 0 to 86400"
        : PollS is not (>= 0.05 and <= 3600) ? "poll_s is seconds, 0.05 to 3600"
        : RetryAfterS is not (>= 0.05 and <= 3600) ? "retry_after_s is seconds, 0.05 to 3600"
        : JobsAtOnce is not (>= 1 and <= 64) ? "jobs_at_once is 1 to 64"
        : Database is { } shared && !IsConnection(shared) ? "database is a connection string such as Host=db.tallowick;Database=syncbench;Username=syncbench;Passfile=/etc/syncbench/pgpass"
        : Page.Port is not (>= 0 and <= 65_535) ? "port is 0 to 65535"
        : !IPAddress.TryParse(Page.Address, out IPAddress? address) ? "address is an IP address of this machine, such as 127.0.0.1"
        : Token is { Length: < ShortestToken } ? $"the token has fewer than {ShortestToken} characters: make one with: openssl rand -base64 24"
        : Token is null && !IPAddress.IsLoopback(address) ? "the page would be open to the network without a token: set token_file, or serve it on 127.0.0.1 behind a proxy"
        : null;

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
