using System.Diagnostics;
using System.Text.RegularExpressions;

namespace SyncBench.Benchmarks.Service;

/// <summary>SIGKILL at random moments of a run: what is to be seen then, and what comes of the run after a restart.</summary>
internal static partial class Kills
{
    private const string Name = "ropewalk-day2";
    private const int Seed = 20_261_126;

    internal static async Task RunAsync(DropDump dump, string home, int kills)
    {
        string results = Path.Combine(home, "results", Name);
        TimeSpan whole = await OnceAsync(dump, home, null);
        Dictionary<string, string> undisturbed = DumpResults.Read(results);
        var random = new Random(Seed);
        int inMidRun = 0, partial = 0, same = 0, mostStarts = 0, mostEnds = 0;
        for (int i = 0; i < kills; i++)
        {
            Directory.Delete(home, recursive: true);
            TimeSpan moment = whole * random.NextDouble();
            await OnceAsync(dump, home, async service =>
            {
                await Task.Delay(moment);
                inMidRun += await service.CountAsync("running");
                await service.KillAsync();
                // No result stood there before: each that is there now must be whole.
                Dictionary<string, string> seen = DumpResults.Read(results);
                partial += seen.Count(file => !file.Key.EndsWith(".part", StringComparison.Ordinal) && undisturbed.GetValueOrDefault(file.Key) != file.Value);
            });
            mostStarts = Math.Max(mostStarts, File.ReadLines(Path.Combine(home, "state", "service.log")).Count(line => line.EndsWith(": the run begins", StringComparison.Ordinal)));
            mostEnds = Math.Max(mostEnds, Stages().Matches(await File.ReadAllTextAsync(Path.Combine(results, "syncbench.log"))).CountBy(stage => stage.Groups[1].Value).Max(stage => stage.Value));
            string[] differences = DumpResults.Differences(undisturbed, DumpResults.Read(results));
            same += differences.Length == 0 ? 1 : 0;
            Array.ForEach(differences, file => Console.WriteLine($"                after kill {i + 1} another {file}"));
        }

        Console.WriteLine(FormattableString.Invariant(
            $"kills           {kills} at random moments of a run of {whole.TotalSeconds:0.0} s ({inMidRun} before its end): {same} with the results of an undisturbed run byte for byte, dates and times aside; {partial} partial files seen; the run was begun {mostStarts} times at most, and no stage came to its end more than {mostEnds} times"));
    }

    /// <summary>Runs the dump, with a kill where one is wanted.</summary>
    /// <returns>From when it is seen running to its end; of no meaning after a kill.</returns>
    private static async Task<TimeSpan> OnceAsync(DropDump dump, string home, Func<RunningService, Task>? kill)
    {
        Directory.CreateDirectory(home);
        dump.Into(home, Name);
        if (kill is not null)
        {
            using RunningService killed = await RunningService.StartAsync(home);
            await killed.UntilAsync("running", 1);
            await kill(killed);
        }

        using RunningService service = await RunningService.StartAsync(home);
        if (kill is null)
        {
            await service.UntilAsync("running", 1);
        }

        long began = Stopwatch.GetTimestamp();
        await service.UntilAsync("done", 1);
        return Stopwatch.GetElapsedTime(began);
    }

    /// <summary>As the log of a run tells them; waiting for what is done beside them is no stage.</summary>
    [GeneratedRegex(@"\] (?!Waiting )([A-Z][^\n]*?) took [0-9.]+ s,")]
    private static partial Regex Stages();
}
