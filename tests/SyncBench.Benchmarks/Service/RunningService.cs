using System.Diagnostics;
using System.Globalization;
using System.Text.RegularExpressions;
using SyncBench.Service.Tests;

namespace SyncBench.Benchmarks.Service;

/// <summary>The service in a process of its own, on a home folder with a watched folder, results and state.</summary>
internal sealed partial class RunningService : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(30);

    private readonly Process _process;
    private readonly string _state;

    private RunningService(Process process, HttpClient page, string state) => (_process, Page, _state) = (process, page, state);

    internal HttpClient Page { get; }

    /// <summary>The most memory that it ever had at once, MB. Its ffmpeg processes are not in it.</summary>
    internal double PeakMb
    {
        get
        {
            _process.Refresh();
            return _process.PeakWorkingSet64 / 1e6;
        }
    }

    /// <summary>Of all its threads so far; its ffmpeg processes are not in it.</summary>
    internal TimeSpan ProcessorTime
    {
        get
        {
            _process.Refresh();
            return _process.TotalProcessorTime;
        }
    }

    internal static Task<RunningService> StartAsync(string home) => StartAsync(home, "state", string.Empty, null);

    /// <summary>As one machine of several: only its state is its own.</summary>
    internal static Task<RunningService> StartMachineAsync(string home, string name, PostgresServer database, HeldTools tools) =>
        StartAsync(home, name, $"\"database\": \"{database.Connection}\",", tools);

    private static async Task<RunningService> StartAsync(string home, string state, string database, HeldTools? tools)
    {
        string drop = Path.Combine(home, "drop"), settings = Path.Combine(home, state + ".json");
        Directory.CreateDirectory(drop);
        await File.WriteAllTextAsync(
            settings,
            $$"""{ "state": "{{state}}", {{database}} "poll_s": 0.2, "retry_after_s": 1, "jobs_at_once": 1, "page": { "port": 0 }, "watch": [ { "folder": "drop", "out": "results", "quiet_s": 0.3 } ] }""");
        var start = new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, "SyncBench.Service.dll"), "--settings", settings])
        {
            RedirectStandardOutput = true,
            UseShellExecute = false,
        };
        if (tools is not null)
        {
            start.Environment["PATH"] = tools.SearchPath;
        }

        Process process = Process.Start(start)!;
        string line = await process.StandardOutput.ReadLineAsync() ?? throw new InvalidOperationException("The service did not start.");
        return new RunningService(process, new HttpClient { BaseAddress = new Uri(line["page ".Length..]) }, Path.Combine(home, state));
    }

    /// <summary>How often a run was begun here, by dump.</summary>
    internal Dictionary<string, int> Begun()
    {
        using var log = new StreamReader(new FileStream(Path.Combine(_state, "service.log"), FileMode.Open, FileAccess.Read, FileShare.ReadWrite));
        return Beginnings().Matches(log.ReadToEnd()).CountBy(match => match.Groups[1].Value).ToDictionary(StringComparer.Ordinal);
    }

    /// <summary>As a power cut would.</summary>
    internal async Task KillAsync()
    {
        _process.Kill(entireProcessTree: true);
        await _process.WaitForExitAsync();
    }

    /// <summary>Until so many dumps are in the state, by the page of all dumps.</summary>
    internal async Task UntilAsync(string state, int count)
    {
        long began = Stopwatch.GetTimestamp();
        while (await CountAsync(state) < count)
        {
            if (Stopwatch.GetElapsedTime(began) > Patience)
            {
                throw new TimeoutException(string.Create(CultureInfo.InvariantCulture, $"There were never {count} dumps {state}."));
            }

            if (await CountAsync("failed") + await CountAsync("done, look at it") is > 0 and int wrong)
            {
                throw new InvalidOperationException(string.Create(CultureInfo.InvariantCulture, $"{wrong} dumps failed or want a person."));
            }

            await Task.Delay(50);
        }
    }

    internal async Task<int> CountAsync(string state) =>
        States().Matches(await Page.GetStringAsync("/")).Count(match => match.Groups[1].Value == state);

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            _process.Kill(entireProcessTree: true);
            _process.WaitForExit();
        }

        _process.Dispose();
        Page.Dispose();
    }

    [GeneratedRegex("/([^/]+): the run begins\n")]
    private static partial Regex Beginnings();

    [GeneratedRegex("data-state=\"([^\"]*)\"")]
    private static partial Regex States();
}
