using System.Diagnostics;
using Npgsql;
using SyncBench.Service.Tests;

namespace SyncBench.Benchmarks.Service;

/// <summary>
/// Several machines on one PostgreSQL, each a process with its own state: how often each dump is run, also a long one, with a
/// crash of the database in between, and who goes on when a machine dies in the middle of it.
/// </summary>
internal static class ManyMachines
{
    /// <summary>Longer than anything by which a machine could be taken for dead: check-ins of 2 × 7 s, a run held for 30 s.</summary>
    private static readonly TimeSpan LongerThanAnyLock = TimeSpan.FromSeconds(60);

    internal static async Task RunAsync(DropDump dump, string home, int machines, int count)
    {
        await using PostgresServer postgres = await PostgresServer.StartAsync();
        HeldTools tools = await HeldTools.MakeAsync(Path.Combine(home, "tools"));
        List<RunningService> services =
            [.. await Task.WhenAll(Enumerable.Range(1, machines).Select(i => RunningService.StartMachineAsync(home, $"edit-{i}", postgres, tools)))];
        try
        {
            dump.Into(home, HeldTools.Dump);
            await services[0].UntilAsync("running", 1);
            long began = Stopwatch.GetTimestamp();
            foreach (int i in Enumerable.Range(0, count))
            {
                dump.Into(home, FormattableString.Invariant($"day{i:00}"));
            }

            await services[0].UntilAsync("done", count / 2);
            await postgres.CrashAndStartAsync();
            await services[0].UntilAsync("done", count);
            TimeSpan took = Stopwatch.GetElapsedTime(began);
            long connections = await ConnectionsAsync(postgres);
            TimeSpan more = LongerThanAnyLock - took;
            await Task.Delay(more > TimeSpan.Zero ? more : TimeSpan.Zero);
            Dictionary<string, int>[] begun = [.. services.Select(service => service.Begun())];
            int once = begun.SelectMany(each => each).GroupBy(each => each.Key).Count(dump => dump.Key != HeldTools.Dump && dump.Sum(each => each.Value) == 1);
            int heldBegun = begun.Sum(each => each.GetValueOrDefault(HeldTools.Dump));
            TimeSpan heldFor = Stopwatch.GetElapsedTime(began);

            int holder = Array.FindIndex(begun, each => each.ContainsKey(HeldTools.Dump));
            using RunningService dead = services[holder];
            services.RemoveAt(holder);
            await dead.KillAsync();
            long killed = Stopwatch.GetTimestamp();
            while (!services.Exists(service => service.Begun().ContainsKey(HeldTools.Dump)))
            {
                await Task.Delay(100);
            }

            TimeSpan takenOver = Stopwatch.GetElapsedTime(killed);
            tools.LetGo();
            await services[0].UntilAsync("done", count + 1);
            Console.WriteLine(FormattableString.Invariant(
                $"machines        {machines} on one PostgreSQL, which crashed on the way: {connections} connections; {count} dumps in {took.TotalSeconds:0} s, {once} of them begun once, by machine {string.Join(" + ", begun.Select(each => each.Values.Sum()))}; a run of more than {heldFor.TotalSeconds:0} s begun {heldBegun} time(s); its machine killed, another took over after {takenOver.TotalSeconds:0} s; {Right(home)} of {count + 1} with the same three placements"));
        }
        finally
        {
            services.ForEach(service => service.Dispose());
        }
    }

    /// <summary>Of the machines, without the one that counts.</summary>
    private static async Task<long> ConnectionsAsync(PostgresServer postgres)
    {
        await using NpgsqlDataSource source = NpgsqlDataSource.Create(postgres.Connection);
        await using NpgsqlCommand count = source.CreateCommand("SELECT count(*) - 1 FROM pg_stat_activity WHERE backend_type = 'client backend'");
        return (long)(await count.ExecuteScalarAsync())!;
    }

    /// <summary>The same sound in each: every table of placements must be that of the first.</summary>
    private static int Right(string home)
    {
        string[] tables = [.. Directory.EnumerateDirectories(Path.Combine(home, "results")).Select(folder => File.ReadAllText(Path.Combine(folder, "clips.csv")))];
        return tables.Count(table => table == tables[0] && table.Split('\n').Count(line => line.Contains(",placed,", StringComparison.Ordinal)) == 3);
    }
}
