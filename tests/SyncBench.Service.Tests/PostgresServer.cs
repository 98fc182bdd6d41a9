using System.Globalization;
using System.Net;
using System.Net.Sockets;
using SyncBench.Scenes;

namespace SyncBench.Service.Tests;

/// <summary>Debian's PostgreSQL with a data folder of its own, on a free port of loopback; gone after the test.</summary>
internal sealed class PostgresServer : IAsyncDisposable
{
    /// <summary>It refuses to be run by root; Debian's package brings this user.</summary>
    private const string User = "postgres";

    /// <summary>How docs/service.md has a database made.</summary>
    internal const string Guide = "createuser syncbench --pwprompt && createdb syncbench --owner syncbench";

    private readonly string _folder;
    private readonly int _port;

    private PostgresServer(string folder, int port) => (_folder, _port) = (folder, port);

    internal string Connection => string.Create(
        CultureInfo.InvariantCulture, $"Host=127.0.0.1;Port={_port};Database=syncbench;Username=syncbench");

    internal static async Task<PostgresServer> StartAsync()
    {
        var server = new PostgresServer(Directory.CreateTempSubdirectory("syncbench-postgres-").FullName, FreePort());
        if (IsRoot)
        {
            await RunAsync("chown", User, server._folder);
        }

        await AsUserAsync("initdb", "-D", server.Data, "-U", User, "--auth", "trust", "--no-locale", "-E", "UTF8");
        await server.ControlAsync("start");
        await server.AsTheGuideSaysAsync();
        return server;
    }

    /// <summary>So what the service does needs no more rights than the guide gives it. This server asks nobody for a password.</summary>
    private async Task AsTheGuideSaysAsync()
    {
        foreach (string command in Guide.Replace(" --pwprompt", string.Empty, StringComparison.Ordinal).Split(" && "))
        {
            string[] words = command.Split(' ');
            await AsUserAsync(words[0], [.. words[1..], "-h", "127.0.0.1", "-p", _port.ToString(CultureInfo.InvariantCulture), "-U", User]);
        }
    }

    /// <summary>As by a power cut: every connection breaks at once, for a while there is no server, and then it recovers from its log.</summary>
    internal async Task CrashAndStartAsync()
    {
        await ControlAsync("stop");
        await Task.Delay(TimeSpan.FromSeconds(3));
        await ControlAsync("start");
    }

    public async ValueTask DisposeAsync()
    {
        await ControlAsync("stop");
        Directory.Delete(_folder, recursive: true);
    }

    private string Data => Path.Combine(_folder, "data");

    private static bool IsRoot => Environment.UserName == "root";

    private Task<byte[]> ControlAsync(string what)
    {
        string options = string.Create(CultureInfo.InvariantCulture, $"-p {_port} -c listen_addresses=127.0.0.1 -c unix_socket_directories=");
        return AsUserAsync(
            "pg_ctl",
            [
                what, "-D", Data, "-w", "-l", Path.Combine(_folder, "server.log"),
                .. what == "stop" ? new[] { "-m", "immediate" } : ["-o", options],
            ]);
    }

    private static Task<byte[]> AsUserAsync(string program, params string[] arguments)
    {
        // Debian keeps the servers of all versions side by side.
        string path = Directory.EnumerateDirectories("/usr/lib/postgresql")
            .OrderByDescending(version => int.Parse(Path.GetFileName(version), CultureInfo.InvariantCulture)).First() + "/bin/" + program;
        return IsRoot ? RunAsync("runuser", ["-u", User, "--", path, .. arguments]) : RunAsync(path, arguments);
    }

    private static Task<byte[]> RunAsync(string program, params string[] arguments) =>
        ExternalTool.RunAsync(program, arguments, feed: null, CancellationToken.None);

    private static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}
