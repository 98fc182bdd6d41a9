using System.Globalization;
using Microsoft.Playwright;
using SyncBench.Pictures;
using SyncBench.Worker.Tests.Demo;

namespace SyncBench.Benchmarks;

/// <summary>How soon the report opens in Debian's chromium, beside a page with nothing on it, interleaved in one run.</summary>
internal static class ReportBench
{
    private const int Rounds = 7;

    internal static async Task<int> RunAsync()
    {
        SyncedDemo demo = await SyncedDemo.MakeAsync();
        string folder = Directory.CreateTempSubdirectory("syncbench-bench-").FullName;
        try
        {
            string report = Path.Combine(await demo.ResultsAsync(), "report", "index.html");
            string page = await File.ReadAllTextAsync(report);
            (string What, string Path)[] pages =
            [
                ("nothing", await PageAsync("nothing.html", "<!doctype html><title>nothing</title>")),
                ("the demo's report", report),
                ("an hour of such takes", await PageAsync("hour.html", HourLongPage.Of(page, Longest(demo)))),
            ];
            await PrintAsync(pages);
            return 0;
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }

        async Task<string> PageAsync(string name, string text)
        {
            string path = Path.Combine(folder, name);
            await File.WriteAllTextAsync(path, text);
            return path;
        }
    }

    private static TimeSpan Longest(SyncedDemo demo) => TimeSpan.FromSeconds(demo.Truth.Files.Max(file => file.DurationS) ?? 0);

    private static async Task PrintAsync((string What, string Path)[] pages)
    {
        using IPlaywright playwright = await Playwright.CreateAsync();
        await using IBrowser browser = await DebiansChromium.LaunchAsync(playwright);
        IPage page = await browser.NewPageAsync();
        var opened = pages.ToDictionary(shown => shown.Path, _ => new List<double>());
        for (int round = 0; round < Rounds; round++)
        {
            foreach ((_, string path) in pages)
            {
                await page.GotoAsync(new Uri(path).AbsoluteUri);
                opened[path].Add(await page.EvaluateAsync<double>("performance.getEntriesByType('navigation')[0].loadEventEnd"));
            }
        }

        Console.WriteLine($"open and loaded in chromium, {Rounds} interleaved rounds    MB     min ms  median ms");
        foreach ((string what, string path) in pages)
        {
            double[] times = [.. opened[path].Order()];
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{what,-52} {new FileInfo(path).Length / 1e6,5:0.00} {times[0],10:0} {times[Rounds / 2],10:0}"));
        }
    }
}
