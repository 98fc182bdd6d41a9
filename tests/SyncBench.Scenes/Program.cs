using System.Diagnostics;
using SyncBench.Scenes;

if (args is not ["demo", string folder])
{
    await Console.Error.WriteLineAsync("Usage: SyncBench.Scenes demo FOLDER");
    return 2;
}

var watch = Stopwatch.StartNew();
try
{
    Console.WriteLine($"Making {DemoDump.Name}: an invented interview with known truth.");
    (string dump, Truth truth) = await DemoDump.MakeAsync(
        folder, line => Console.WriteLine($"  {watch.Elapsed.TotalSeconds,5:0.0} s  {line}"));
    Console.WriteLine($"{dump}: {truth.Files.Count} files, {truth.Takes.Count} takes; its truth is in {dump}.truth.json.");
    return 0;
}
catch (Exception exception) when (exception is InvalidOperationException or IOException)
{
    await Console.Error.WriteLineAsync($"The dump could not be made: {exception.Message}");
    return 1;
}
