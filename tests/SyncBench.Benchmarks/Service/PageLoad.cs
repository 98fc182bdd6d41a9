using System.Diagnostics;

namespace SyncBench.Benchmarks.Service;

/// <summary>Hundreds of requests a second to the page while a dump runs: how much longer the run takes.</summary>
internal static class PageLoad
{
    private const int Rounds = 3;
    private const int Connections = 8;
    private const int RequestsASecond = 300;

    internal static async Task RunAsync(DropDump dump, string home)
    {
        using RunningService service = await RunningService.StartAsync(home);
        var quiet = new List<double>();
        var loaded = new List<double>();
        var processor = (Quiet: 0.0, Loaded: 0.0);
        int done = 0, answered = 0;
        await OneAsync("warm"); // code is compiled in the first run
        for (int round = 0; round < Rounds; round++)
        {
            TimeSpan before = service.ProcessorTime;
            quiet.Add(await OneAsync($"quiet{round}"));
            TimeSpan between = service.ProcessorTime;
            using var stop = new CancellationTokenSource();
            Task<int> load = LoadAsync(service.Page, stop.Token);
            loaded.Add(await OneAsync($"loaded{round}"));
            await stop.CancelAsync();
            answered += await load;
            processor = (processor.Quiet + (between - before).TotalSeconds, processor.Loaded + (service.ProcessorTime - between).TotalSeconds);
        }

        quiet.Sort();
        loaded.Sort();
        Console.WriteLine(FormattableString.Invariant(
            $"load            {answered / loaded.Sum():0} requests a second on {Connections} connections: a run takes {quiet[Rounds / 2]:0.0} s without, {loaded[Rounds / 2]:0.0} s with ({100 * ((loaded[Rounds / 2] / quiet[Rounds / 2]) - 1):+0;-0} %, middle of {Rounds}); the service's processor time {processor.Quiet / Rounds:0.0} s, {processor.Loaded / Rounds:0.0} s"));

        async Task<double> OneAsync(string name)
        {
            dump.Into(home, name);
            await service.UntilAsync("running", 1);
            long began = Stopwatch.GetTimestamp();
            await service.UntilAsync("done", ++done);
            return Stopwatch.GetElapsedTime(began).TotalSeconds;
        }
    }

    /// <returns>How many were answered.</returns>
    private static async Task<int> LoadAsync(HttpClient page, CancellationToken stop)
    {
        int answered = 0;
        await Task.WhenAll(Enumerable.Range(0, Connections).Select(async _ =>
        {
            using var timer = new PeriodicTimer(TimeSpan.FromSeconds((double)Connections / RequestsASecond));
            try
            {
                while (await timer.WaitForNextTickAsync(stop))
                {
                    await page.GetStringAsync("/", stop);
                    Interlocked.Increment(ref answered);
                }
            }
            catch (OperationCanceledException)
            {
                return; // the run is over
            }
        }));
        return answered;
    }
}
