using System.Diagnostics;
using System.Net;
using System.Text.RegularExpressions;
using SyncBench.Tests.Support;

namespace SyncBench.Service.Tests;

/// <summary>
/// What docs/service.md tells an administrator to type, typed as it stands there, but with every path in a folder that stands for
/// the machine's root. What is left out is <c>--now</c>, for which systemd would have to run this machine: the program is started as
/// the unit says instead.
/// </summary>
public sealed partial class UnitFileTests : IDisposable
{
    private readonly TemporaryFolder _root = new();

    public void Dispose() => _root.Dispose();

    [Fact]
    public async Task TheGuide_MakesAUser_AnEnabledUnit_AndAProgramThatAnswers()
    {
        Directory.CreateDirectory(_root.File("etc"));
        File.Copy("/etc/login.defs", _root.File("etc/login.defs"));
        await File.WriteAllTextAsync(_root.File("etc/passwd"), "root:x:0:0:root:/root:/bin/sh\n");
        await File.WriteAllTextAsync(_root.File("etc/group"), "root:x:0:\n");
        string guide = await File.ReadAllTextAsync(Repository.File("docs/service.md"));
        string[] commands = [.. Commands().Matches(guide[guide.IndexOf("## As a systemd unit", StringComparison.Ordinal)..]).Select(line => line.Groups["command"].Value)];

        Assert.Equal(["dotnet", "useradd", "install", "install", "systemctl"], commands.Select(command => command.Split(' ')[0]));
        foreach (string command in commands)
        {
            string[] words = [.. command.Split(' ').Select(word => word.StartsWith("/opt", StringComparison.Ordinal) || word.StartsWith("/etc", StringComparison.Ordinal) ? _root.Path + word : word)];
            await TypeAsync(words switch
            {
                // One build at a time, as the scripts have it.
                ["dotnet", ..] => ["flock", "--close", "scripts/setup", .. words],
                ["useradd", .. string[] rest] => [.. AsRoot, "useradd", "--prefix", _root.Path, .. rest],
                ["systemctl", .. string[] rest] => ["systemctl", "--root", _root.Path, .. rest.Except(["--now"])],
                _ => words,
            });
        }

        Dictionary<string, string> unit = await UnitAsync();
        Assert.StartsWith($"{unit["User"]}:", (await File.ReadAllLinesAsync(_root.File("etc/passwd")))[1], StringComparison.Ordinal);
        Assert.EndsWith("/var/lib/syncbench:/usr/sbin/nologin", (await File.ReadAllLinesAsync(_root.File("etc/passwd")))[1], StringComparison.Ordinal);
        Assert.NotNull(new FileInfo(_root.File($"etc/systemd/system/{unit["WantedBy"]}.wants/syncbench.service")).LinkTarget);
        Assert.Equal(HttpStatusCode.OK, await HealthAsync(unit["ExecStart"].Split(' ')));
    }

    /// <summary>By systemd's own judge, with this machine's dotnet in the place of the unit's.</summary>
    [Fact]
    public async Task TheUnitInTheDocs_IsOneThatSystemdTakes()
    {
        string text = await File.ReadAllTextAsync(Repository.File("docs/syncbench.service"));
        await File.WriteAllTextAsync(_root.File("syncbench.service"), text.Replace("/usr/bin/dotnet", Environment.ProcessPath, StringComparison.Ordinal));

        // It takes a unit with a misspelt line too, and only says so.
        Assert.DoesNotContain("syncbench.service", await Tool.OutputAsync("systemd-analyze", "verify", "--man=no", _root.File("syncbench.service")), StringComparison.Ordinal);
    }

    /// <summary>Who is not root is it in a name space of his own (user_namespaces(7)).</summary>
    private static string[] AsRoot => Environment.UserName == "root" ? [] : ["unshare", "--map-root-user"];

    private static async Task TypeAsync(string[] words)
    {
        var start = new ProcessStartInfo(words[0], words[1..])
        {
            WorkingDirectory = Repository.Root, RedirectStandardOutput = true, RedirectStandardError = true, UseShellExecute = false,
        };
        using Process process = Process.Start(start)!;
        Task<string> error = process.StandardError.ReadToEndAsync();
        string said = await process.StandardOutput.ReadToEndAsync() + await error;
        await process.WaitForExitAsync();
        Assert.True(process.ExitCode == 0, $"{string.Join(' ', words)}: {said}");
    }

    private async Task<Dictionary<string, string>> UnitAsync() => (await File.ReadAllLinesAsync(_root.File("etc/systemd/system/syncbench.service")))
        .Select(line => line.Split('=', 2)).Where(line => line.Length == 2).ToDictionary(line => line[0], line => line[1]);

    /// <summary>Starts what the unit starts, with the settings cut down to one machine, and asks it how it is.</summary>
    private async Task<HttpStatusCode> HealthAsync(string[] command)
    {
        string settings = _root.Path + command[^1];
        string text = await File.ReadAllTextAsync(settings);
        await File.WriteAllTextAsync(settings, OnlyForMany().Replace(text, string.Empty)
            .Replace("\"/var", $"\"{_root.Path}/var", StringComparison.Ordinal).Replace("\"/media", $"\"{_root.Path}/media", StringComparison.Ordinal)
            .Replace("8470", "0", StringComparison.Ordinal));
        Directory.CreateDirectory(_root.File("media/dumps"));

        var start = new ProcessStartInfo("dotnet", [.. command[1..].Select(word => word.StartsWith('/') ? _root.Path + word : word)])
        {
            RedirectStandardOutput = true, RedirectStandardError = true, UseShellExecute = false,
        };
        using Process service = Process.Start(start)!;
        try
        {
            string line = await service.StandardOutput.ReadLineAsync() ?? await service.StandardError.ReadToEndAsync();
            Assert.StartsWith("page ", line, StringComparison.Ordinal);
            using var page = new HttpClient();
            using HttpResponseMessage answer = await page.GetAsync(new Uri(new Uri(line["page ".Length..]), "healthz"));
            return answer.StatusCode;
        }
        finally
        {
            service.Kill();
            await service.WaitForExitAsync();
        }
    }

    [GeneratedRegex("^    (?<command>[a-z]+ .*)$", RegexOptions.Multiline | RegexOptions.ExplicitCapture)]
    private static partial Regex Commands();

    /// <summary>The crew's settings file, which is not there, and the database.</summary>
    [GeneratedRegex("""^.*"(settings|database)":.*$""", RegexOptions.Multiline | RegexOptions.ExplicitCapture)]
    private static partial Regex OnlyForMany();
}
