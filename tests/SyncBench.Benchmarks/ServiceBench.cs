using System.Globalization;
using SyncBench.Benchmarks.Service;

namespace SyncBench.Benchmarks;

/// <summary>The service as a process: many dumps at once, kills in mid-run, several machines, load on its page.</summary>
internal static class ServiceBench
{
    private static readonly string[] Parts = ["many", "kills", "load", "machines"];

    internal static async Task<int> RunAsync(string[] given)
    {
        if (BenchOptions.Parse(given, Parts, ["--dumps", "--kills"]) is not { } options)
        {
            await Console.Error.WriteLineAsync("usage: service [PART...] [--dumps 50] [--kills 40]   parts: many kills load machines");
            return 2;
        }

        bool IsAsked(string part) => options.Has(part) || !Parts.Any(options.Has);

        int Count(string option, int usual) => int.Parse(options.Value(option) ?? usual.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        string folder = Directory.CreateTempSubdirectory("syncbench-service-").FullName;
        try
        {
            string At(string name) => Directory.CreateDirectory(Path.Combine(folder, name)).FullName;
            DropDump small = await DropDump.MakeAsync(At("small"), times: 1);
            if (IsAsked("many"))
            {
                await ManyDumps.RunAsync(small, At("many"), Count("--dumps", 50));
            }

            if (IsAsked("kills"))
            {
                await Kills.RunAsync(small, At("kills"), Count("--kills", 40));
            }

            if (IsAsked("load"))
            {
                await PageLoad.RunAsync(await DropDump.MakeAsync(At("long"), times: 3), At("load"));
            }

            foreach (int machines in IsAsked("machines") ? new[] { 2, 4 } : [])
            {
                await ManyMachines.RunAsync(small, At($"machines{machines}"), machines, Count("--dumps", 50));
            }

            return 0;
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
