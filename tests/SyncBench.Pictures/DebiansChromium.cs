using Microsoft.Playwright;

namespace SyncBench.Pictures;

internal static class DebiansChromium
{
    /// <summary>Without its sandbox, which does not run as root; it opens nothing here but pages of our own.</summary>
    internal static Task<IBrowser> LaunchAsync(IPlaywright playwright) =>
        playwright.Chromium.LaunchAsync(new() { ExecutablePath = "/usr/bin/chromium", Args = ["--no-sandbox"] });
}
