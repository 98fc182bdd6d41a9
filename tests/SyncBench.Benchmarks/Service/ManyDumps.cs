using System.Diagnostics;

namespace SyncBench.Benchmarks.Service;

/// <summary>Many dumps dropped at once: memory, time, and whether all are right.</summary>
internal static class ManyDumps
{
    internal static async Task RunAsync(DropDump dump, string home, int count)
    {
        for (int i = 0; i < count; i++)
        {
            dump.Into(home, FormattableString.Invariant($"day{i:00}"));
        }

        long began = Stopwatch.GetTimestamp();
        using RunningService service = await RunningService.StartAsync(home);
        await service.UntilAsync("done", 1);
        double first = service.PeakMb;
        await service.UntilAsync("done", count);
        TimeSpan took = Stopwatch.GetElapsedTime(began);

        // The same sound in each: every table of placements must be that of the first.
        string[] tables = [.. Directory.EnumerateDirectories(Path.Combine(home, "results")).Select(folder => File.ReadAllText(Path.Combine(folder, "clips.csv")))];
        Console.WriteLine(FormattableString.Invariant(
            $"many dumps      {count} dropped at once: {tables.Count(table => table == tables[0] && table.Split('\n').Count(line => line.Contains(",placed,", StringComparison.Ordinal)) == 3)} done with the same three placements, in {took.TotalSeconds:0} s; memory at most {first:0} MB in the first run, {service.PeakMb:0} MB in all"));
    }
}
