using Microsoft.Playwright;
using SyncBench.Pictures;

// What scripts/pictures runs: the pictures of the docs in Debian's chromium, taken of the service's page as soon as the demo is
// done there, and of the report that it wrote.
if (args is not [string service, string report, string folder])
{
    await Console.Error.WriteLineAsync("pictures SERVICE_ADDRESS REPORT.html FOLDER");
    return 2;
}

const int Width = 1000;
using IPlaywright playwright = await Playwright.CreateAsync();
await using IBrowser browser = await DebiansChromium.LaunchAsync(playwright);
IPage page = await browser.NewPageAsync(new() { ViewportSize = new() { Width = Width, Height = 800 }, ColorScheme = ColorScheme.Light });

await page.GotoAsync(service);
await page.Locator(".state.look").WaitForAsync(new() { Timeout = 120_000 });
await page.GetByRole(AriaRole.Link, new() { Name = "ropewalk-day2" }).ClickAsync();
await TakeAsync("service", "body");

await page.GotoAsync(new Uri(Path.GetFullPath(report)).AbsoluteUri);
await page.AddStyleTagAsync(new() { Content = "main > section { content-visibility: visible !important }" }); // as one who has scrolled there sees them
await TakeAsync("report", "header", "#map");
await TakeAsync("files", "#files h2", "#files tbody tr:nth-child(3)");
await TakeAsync("take", "#take-1 h2", "#take-1 figure:has(#take-1-map-t)");
await TakeAsync("mic", "#take-1 h3:has(+ figure #take-1-mic-t)", "#take-1 figure:has(#take-1-mic-t)");
await TakeAsync("consonant", "#take-1 h3:has(+ figure #take-1-proof-1-t)", "#take-1 figure:has(#take-1-proof-1-t) + .player");
await TakeAsync("drift", "#take-1 h3:has(+ figure #take-1-drift-1-t)", "#take-1 figure:has(#take-1-drift-1-t)");
return 0;

// From the top of the first thing to the bottom of the last, with the page's margin around.
async Task TakeAsync(string name, string first, string? last = null)
{
    const float margin = 10;
    LocatorBoundingBoxResult top = await BoxAsync(first), bottom = await BoxAsync(last ?? first);
    await page.ScreenshotAsync(new()
    {
        Path = Path.Combine(folder, name + ".png"),
        FullPage = true,
        Clip = new() { X = 0, Y = Math.Max(0, top.Y - margin), Width = Width, Height = bottom.Y + bottom.Height - top.Y + (2 * margin) },
    });
}

async Task<LocatorBoundingBoxResult> BoxAsync(string what) =>
    await page.Locator(what).First.BoundingBoxAsync() ?? throw new InvalidOperationException($"{what} is not on the page.");
