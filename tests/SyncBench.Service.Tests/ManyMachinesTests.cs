using System.Diagnostics;
using SyncBench.Tests.Support;

namespace SyncBench.Service.Tests;

/// <summary>Machines are processes here, each with its own state; the PostgreSQL is a real one.</summary>
public sealed class ManyMachinesTests : IDisposable
{
    /// <summary>Longer than anything by which a machine could be taken for dead: check-ins of 2 × 7 s, a run held for 30 s.</summary>
    private static readonly TimeSpan LongerThanAnyLock = TimeSpan.FromSeconds(35);

    private readonly TemporaryFolder _home = new();

    public void Dispose() => _home.Dispose();

    [Fact]
    public async Task TwoMachines_RunEachDumpOnce_ThroughACrashOfTheirDatabase_AndOneTakesOverFromTheOther()
    {
        Assert.Contains(PostgresServer.Guide, await File.ReadAllTextAsync(Repository.File("docs/service.md")), StringComparison.Ordinal);
        await using PostgresServer postgres = await PostgresServer.StartAsync();
        HeldTools tools = await HeldTools.MakeAsync(_home.File("tools"));
        using ServiceProcess one = ServiceProcess.Machine(_home.Path, "edit-1", postgres, tools), two = ServiceProcess.Machine(_home.Path, "edit-2", postgres, tools);
        await Task.WhenAll(one.StartAsync(), two.StartAsync()); // both find a database without tables

        await SmallDump.DropAsync(one.Drop, HeldTools.Dump, "FLAC");
        await one.UntilAsync(HeldTools.Dump, "running");
        string[] days = ["day1", "day2", "day3", "day4"];
        foreach (string day in days)
        {
            await SmallDump.DropAsync(one.Drop, day);
        }

        await one.UntilAsync("day1", "done");
        await postgres.CrashAndStartAsync();
        await Task.WhenAll(days.SelectMany(day => new[] { one.UntilAsync(day, "done"), two.UntilAsync(day, "done") }));
        foreach (ServiceProcess machine in new[] { one, two })
        {
            Assert.Contains("3 of 7, reading sound: ", await machine.Page.GetStringAsync("/"), StringComparison.Ordinal);
            Assert.Contains($" on {Environment.MachineName}<", await machine.Page.GetStringAsync("/"), StringComparison.Ordinal);
        }

        await Task.Delay(LongerThanAnyLock);
        Assert.Equal(1, one.Begun(HeldTools.Dump) + two.Begun(HeldTools.Dump));

        // Whichever page is asked, the run stops where it is; and it begins again wherever there is room.
        ServiceProcess other = one.Begun(HeldTools.Dump) == 1 ? two : one;
        string address = await other.AddressOfAsync(HeldTools.Dump);
        await other.PressAsync(address, "cancel");
        await other.UntilAsync(HeldTools.Dump, "cancelled");
        await other.PressAsync(address, "rerun");
        await other.UntilAsync(HeldTools.Dump, "running");
        await UntilAsync(() => one.Begun(HeldTools.Dump) + two.Begun(HeldTools.Dump) == 2);

        ServiceProcess first = other == one ? two : one;
        (ServiceProcess dies, ServiceProcess lives) = first.Begun(HeldTools.Dump) == 2 ? (first, other) : (other, first);
        int before = lives.Begun(HeldTools.Dump);
        await dies.KillAsync();
        await UntilAsync(() => lives.Begun(HeldTools.Dump) > before);

        tools.LetGo();
        await lives.UntilAsync(HeldTools.Dump, "done");
        Assert.Equal([1, 1, 1, 1, 3], [.. days.Append(HeldTools.Dump).Select(dump => one.Begun(dump) + two.Begun(dump))]);
        Assert.Equal(await PlacesAsync("day1"), await PlacesAsync("day4"));
        Assert.Equal(3, (await PlacesAsync(HeldTools.Dump)).Split(",placed,").Length);
    }

    private static async Task UntilAsync(Func<bool> isSo)
    {
        long began = Stopwatch.GetTimestamp();
        while (!isSo() && Stopwatch.GetElapsedTime(began) < TimeSpan.FromMinutes(2))
        {
            await Task.Delay(100);
        }

        Assert.True(isSo());
    }

    private Task<string> PlacesAsync(string dump) => File.ReadAllTextAsync(_home.File($"results/{dump}/clips.csv"));
}
