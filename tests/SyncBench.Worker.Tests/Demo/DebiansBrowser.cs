using Microsoft.Playwright;
using SyncBench.Pictures;

namespace SyncBench.Worker.Tests.Demo;

/// <summary>Started once for all tests of a class; each has a page that knows nothing of the others'.</summary>
public sealed class DebiansBrowser : IAsyncLifetime
{
    private IPlaywright _playwright = null!;
    private IBrowser _browser = null!;

    internal Task<IPage> NewPageAsync() => _browser.NewPageAsync();

    public async Task InitializeAsync()
    {
        _playwright = await Playwright.CreateAsync();
        _browser = await DebiansChromium.LaunchAsync(_playwright);
    }

    public async Task DisposeAsync()
    {
        await _browser.DisposeAsync();
        _playwright.Dispose();
    }
}
