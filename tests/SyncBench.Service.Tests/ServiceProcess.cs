using System.Diagnostics;
using System.Net;
using System.Text.RegularExpressions;
using SyncBench.Tests.Support;

namespace SyncBench.Service.Tests;

/// <summary>
/// The real service in a process of its own, with a watched folder and a place for results; killed after the test. As a machine
/// it has its own state only: database, watched folder and results are shared with other machines.
/// </summary>
internal sealed partial class ServiceProcess : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    private readonly TemporaryFolder? _own;
    private readonly string _home;
    private readonly string _name;
    private HeldTools? _tools;
    private Process? _process;

    internal ServiceProcess(string page = "")
    {
        _own = new TemporaryFolder();
        (_home, _name) = (_own.Path, "state");
        WriteSettings(page, string.Empty);
    }

    private ServiceProcess(string home, string name, PostgresServer database, HeldTools tools)
    {
        (_home, _name, _tools) = (home, name, tools);
        WriteSettings(string.Empty, $"\"database\": \"{database.Connection}\",");
    }

    internal static ServiceProcess Machine(string home, string name, PostgresServer database, HeldTools tools) => new(home, name, database, tools);

    internal string Drop => HomeFile("drop");

    internal string Results => HomeFile("results");

    /// <summary>The page as a browser with the right address sees it; redirects are not followed.</summary>
    internal HttpClient Page { get; private set; } = new();

    internal static ProcessStartInfo Command(params string[] arguments) =>
        new("dotnet", [Path.Combine(AppContext.BaseDirectory, "SyncBench.Service.dll"), .. arguments])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
            // Short runs are mostly compiling: quick code pays here, and does the same.
            Environment = { ["DOTNET_TieredCompilation"] = "1", ["DOTNET_TC_QuickJit"] = "1", ["DOTNET_TC_QuickJitForLoops"] = "1" },
        };

    internal string HomeFile(string name) => Path.Combine(_home, name);

    internal async Task StartAsync()
    {
        ProcessStartInfo command = Command("--settings", SettingsFile);
        _tools ??= await HeldTools.MakeAsync(HomeFile("tools"));
        command.Environment["PATH"] = _tools.SearchPath;
        _process = Process.Start(command)!;
        string line = await _process.StandardOutput.ReadLineAsync() ?? await _process.StandardError.ReadToEndAsync();
        Assert.StartsWith("page ", line, StringComparison.Ordinal);
        Page.Dispose();
        Page = new HttpClient(new HttpClientHandler { AllowAutoRedirect = false }) { BaseAddress = new Uri(line["page ".Length..]) };
    }

    /// <summary>The run of the dump <see cref="HeldTools.Dump"/> may end.</summary>
    internal void LetGo() => _tools!.LetGo();

    /// <summary>How often a run of the dump was begun here.</summary>
    internal int Begun(string dump)
    {
        using var log = new StreamReader(new FileStream(HomeFile($"{_name}/service.log"), FileMode.Open, FileAccess.Read, FileShare.ReadWrite));
        return log.ReadToEnd().Split('\n').Count(line => line.EndsWith($"{Drop}/{dump}: the run begins", StringComparison.Ordinal));
    }

    /// <summary>At once, as a power cut would.</summary>
    internal async Task KillAsync()
    {
        _process!.Kill(entireProcessTree: true);
        await _process.WaitForExitAsync();
    }

    /// <summary>As an administrator would; gives its exit code and how long it took.</summary>
    internal async Task<(int ExitCode, TimeSpan Took)> StopAsync()
    {
        long began = Stopwatch.GetTimestamp();
        await Tool.RunAsync("kill", "-TERM", _process!.Id.ToString(System.Globalization.CultureInfo.InvariantCulture));
        await _process.WaitForExitAsync();
        return (_process.ExitCode, Stopwatch.GetElapsedTime(began));
    }

    /// <summary>Waits until the page of all dumps shows the dump in the state.</summary>
    internal async Task UntilAsync(string dump, string state)
    {
        string wanted = $"data-name=\"{WebUtility.HtmlEncode(dump)}\" data-state=\"{state}\"";
        string page = string.Empty;
        long began = Stopwatch.GetTimestamp();
        while (Stopwatch.GetElapsedTime(began) < Patience)
        {
            page = await Page.GetStringAsync("/");
            if (page.Contains(wanted, StringComparison.Ordinal))
            {
                return;
            }

            await Task.Delay(50);
        }

        Assert.Fail($"{dump} was never {state}: {page}");
    }

    /// <summary>The address of the dump's page.</summary>
    internal async Task<string> AddressOfAsync(string dump)
    {
        string page = await Page.GetStringAsync("/");
        return Links().Matches(page).Single(match => match.Groups[2].Value == WebUtility.HtmlEncode(dump)).Groups[1].Value;
    }

    /// <summary>As the button does: with the form's proof, and with what its fields hold.</summary>
    internal async Task<HttpStatusCode> PressAsync(string address, string action, params (string Name, string Value)[] fields)
    {
        string proof = ProofField().Match(await Page.GetStringAsync(address)).Groups[1].Value;
        using var form = new FormUrlEncodedContent([new("proof", proof), .. fields.Select(field => new KeyValuePair<string, string>(field.Name, field.Value))]);
        using HttpResponseMessage answer = await Page.PostAsync(new Uri($"{address}/{action}", UriKind.Relative), form);
        return answer.StatusCode;
    }

    public void Dispose()
    {
        if (_process is { HasExited: false })
        {
            _process.Kill(entireProcessTree: true);
            _process.WaitForExit();
        }

        _process?.Dispose();
        Page.Dispose();
        _own?.Dispose();
    }

    internal string SettingsFile => HomeFile($"{_name}.json");

    private void WriteSettings(string page, string more)
    {
        Directory.CreateDirectory(Drop);
        File.WriteAllText(
            SettingsFile,
            $$"""
            {
              "state": "{{_name}}", "poll_s": 0.2, "retry_after_s": 1, "jobs_at_once": 1, "page": { "port": 0 {{page}} }, {{more}}
              "watch": [ { "folder": "drop", "out": "results", "quiet_s": 0.5 } ],
            }
            """);
    }

    [GeneratedRegex("""href="(/dump/[0-9a-f]+)"><bdi>(.*?)</bdi>""")]
    private static partial Regex Links();

    [GeneratedRegex("""name="proof" value="([0-9a-f]+)""")]
    private static partial Regex ProofField();
}
