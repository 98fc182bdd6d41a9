using System.Diagnostics;
using System.Net;
using System.Text.RegularExpressions;
using SyncBench.Tests.Support;

namespace SyncBench.Service.Tests;

/// <summary>The real service in a process of its own, with a watched folder and a place for results; killed after the test.</summary>
internal sealed partial class ServiceProcess : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    private readonly TemporaryFolder _home = new();
    private Process? _process;

    internal ServiceProcess(string more = "")
    {
        Directory.CreateDirectory(Drop);
        File.WriteAllText(
            _home.File("settings.json"),
            $$"""
            {
              "state": "state", "poll_s": 0.2, "retry_after_s": 1, "page": { "port": 0 {{more}} },
              "watch": [ { "folder": "drop", "out": "results", "quiet_s": 0.5 } ],
            }
            """);
    }

    internal string Drop => _home.File("drop");

    internal string Results => _home.File("results");

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

    internal string HomeFile(string name) => _home.File(name);

    internal async Task StartAsync()
    {
        _process = Process.Start(Command("--settings", _home.File("settings.json")))!;
        string line = await _process.StandardOutput.ReadLineAsync() ?? await _process.StandardError.ReadToEndAsync();
        Assert.StartsWith("page ", line, StringComparison.Ordinal);
        Page.Dispose();
        Page = new HttpClient(new HttpClientHandler { AllowAutoRedirect = false }) { BaseAddress = new Uri(line["page ".Length..]) };
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

    /// <summary>As the button does: with the form's proof.</summary>
    internal async Task<HttpStatusCode> PressAsync(string address, string action)
    {
        string proof = ProofField().Match(await Page.GetStringAsync(address)).Groups[1].Value;
        using var form = new FormUrlEncodedContent([new("proof", proof)]);
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
        _home.Dispose();
    }

    [GeneratedRegex("""href="(/dump/[0-9a-f]+)"><bdi>(.*?)</bdi>""")]
    private static partial Regex Links();

    [GeneratedRegex("""name="proof" value="([0-9a-f]+)""")]
    private static partial Regex ProofField();
}
