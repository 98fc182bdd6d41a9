using Deque.AxeCore.Commons;
using Microsoft.Playwright;

namespace SyncBench.Worker.Tests.Demo;

/// <summary>What is in a reader's way on a page: WCAG 2.2 as far as axe-core 4 (Deque Systems) can tell.</summary>
internal static class Barriers
{
    private static readonly string Axe = new BundledAxeScriptProvider().GetScript();

    /// <summary>Asked within the page, which takes less than half as long as handing over all that is well.</summary>
    internal static async Task AssertNoneAsync(IPage page)
    {
        await page.EvaluateAsync(Axe);
        string[] wrong = await page.EvaluateAsync<string[]>(
            """
            axe.run({ resultTypes: ['violations'] }).then(found => {
                if (found.passes.length === 0) throw new Error('no rule applies to the page');
                return found.violations.map(wrong => `${wrong.id}: ${wrong.help}: ${wrong.nodes.map(node => node.html).join(', ')}`);
            })
            """);

        Assert.True(wrong.Length == 0, string.Join('\n', wrong));
    }
}
