using Microsoft.Playwright;
using SyncBench.Pictures;
using SyncBench.Worker.Tests.Demo;

namespace SyncBench.Service.Tests;

/// <summary>The page in Debian's chromium, as a person uses it.</summary>
public sealed class PageTests : IDisposable
{
    private readonly ServiceProcess _service = new();

    public void Dispose() => _service.Dispose();

    [Fact]
    public async Task ADroppedDump_IsWatchedToItsEnd_ItsReportRead_ARoleCorrected_AndRunAgainByKeyboard()
    {
        await _service.StartAsync();
        using IPlaywright playwright = await Playwright.CreateAsync();
        await using IBrowser browser = await DebiansChromium.LaunchAsync(playwright);
        IPage page = await browser.NewPageAsync();
        var problems = new List<string>();
        page.Console += (_, message) =>
        {
            if (message.Type == "error")
            {
                problems.Add(message.Text);
            }
        };
        await page.GotoAsync(_service.Page.BaseAddress!.AbsoluteUri);
        await NothingWrongAsync(page);

        // Never reloaded from here on: the dump comes, runs and ends on the open page, and it is said to a screen reader.
        await SmallDump.DropAsync(_service.Drop, HeldTools.Dump, "FLAC");
        await page.GetByText("running", new() { Exact = true }).WaitForAsync(new() { Timeout = 60_000 });
        await NothingWrongAsync(page);
        IPage meanwhile = await browser.NewPageAsync();
        await meanwhile.GotoAsync(new Uri(_service.Page.BaseAddress!, await _service.AddressOfAsync(HeldTools.Dump)).AbsoluteUri);
        await meanwhile.GetByRole(AriaRole.Button, new() { Name = "Cancel" }).WaitForAsync();
        await NothingWrongAsync(meanwhile);
        await meanwhile.CloseAsync();
        _service.LetGo();
        await page.GetByText("done", new() { Exact = true }).WaitForAsync(new() { Timeout = 60_000 });
        await page.GetByRole(AriaRole.Status).Filter(new() { HasText = $"{HeldTools.Dump}: done" }).WaitForAsync();
        await NothingWrongAsync(page);

        await page.GetByRole(AriaRole.Link, new() { Name = HeldTools.Dump }).ClickAsync();
        await NothingWrongAsync(page);
        await page.GetByRole(AriaRole.Link, new() { Name = "Open the report" }).ClickAsync();
        await page.GetByRole(AriaRole.Heading, new() { Name = HeldTools.Dump }).WaitForAsync();
        await page.GoBackAsync();

        await page.GetByText("What a file is").ClickAsync();
        ILocator role = page.GetByRole(AriaRole.Group).Filter(new() { HasText = "What a file is" });
        await role.GetByLabel("File", new() { Exact = true }).SelectOptionAsync("CAM_A/A001.FLAC");
        await role.GetByLabel("Mic", new() { Exact = true }).SelectOptionAsync("boom");
        await role.GetByRole(AriaRole.Button, new() { Name = "Store" }).ClickAsync();
        await page.GetByText("CAM_A/A001.FLAC has boom on every channel").WaitForAsync();
        await page.GetByText("Two files that belong together").ClickAsync();
        await NothingWrongAsync(page);

        await page.GetByRole(AriaRole.Button, new() { Name = "Run again" }).FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        await page.GetByRole(AriaRole.Cell, new() { Name = "CAM_A, boom" }).WaitForAsync(new() { Timeout = 60_000 });
        Assert.Empty(problems);
        await ReadWithoutScriptAsync(browser);
    }

    /// <summary>List, files, log and report by plain links and forms, in a browser that runs no script.</summary>
    private async Task ReadWithoutScriptAsync(IBrowser browser)
    {
        await using IBrowserContext plain = await browser.NewContextAsync(new() { JavaScriptEnabled = false });
        IPage page = await plain.NewPageAsync();
        await page.GotoAsync(_service.Page.BaseAddress!.AbsoluteUri);
        await page.GetByRole(AriaRole.Link, new() { Name = HeldTools.Dump }).ClickAsync();
        await page.GetByRole(AriaRole.Rowheader, new() { Name = "RECORDER/REC001.WAV" }).WaitForAsync(); // a click does not wait for the page that it opens
        await page.GetByRole(AriaRole.Button, new() { Name = "Take back" }).ClickAsync();
        await Assertions.Expect(page.GetByText("has boom on every channel")).ToHaveCountAsync(0);
        await page.GetByRole(AriaRole.Link, new() { Name = "Open the report" }).ClickAsync();
        await page.GetByRole(AriaRole.Heading, new() { Name = HeldTools.Dump }).WaitForAsync();
        await page.GoBackAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "Log of its runs" }).ClickAsync();
        await page.GetByRole(AriaRole.Region, new() { Name = "Log" }).GetByText("CAM_A runs").First.WaitForAsync(); // at so many ppm
        await page.GetByRole(AriaRole.Link, new() { Name = "Log", Exact = true }).ClickAsync();
        await page.GetByRole(AriaRole.Region, new() { Name = "Log" }).GetByText("The service watches").WaitForAsync();
    }

    private static async Task NothingWrongAsync(IPage page)
    {
        foreach (ColorScheme scheme in new[] { ColorScheme.Dark, ColorScheme.Light })
        {
            await page.EmulateMediaAsync(new() { ColorScheme = scheme });
            await Barriers.AssertNoneAsync(page);
        }
    }
}
