using System.Globalization;
using System.Text;
using System.Text.Json;
using Microsoft.Playwright;

namespace SyncBench.Worker.Tests.Demo;

/// <summary>The report of the demo in Debian's chromium: on a laptop on location, on a phone, on paper.</summary>
[Collection(nameof(DemoRun))]
public sealed class ReportInBrowserTests(DemoRun run, DebiansBrowser browser) : IClassFixture<DebiansBrowser>, IAsyncLifetime
{
    /// <summary>A CSS pixel is a 96th of an inch (CSS Values and Units Level 3, section 5.2).</summary>
    private const double PixelsPerMm = 96 / 25.4;

    /// <summary>The margin that the page's style sheet asks of paper.</summary>
    private const double MarginMm = 14;

    private readonly List<string> _problems = [], _requests = [];

    private IPage _page = null!;

    private string Address => new Uri(run.Output("report/index.html")).AbsoluteUri;

    public async Task InitializeAsync()
    {
        _page = await browser.NewPageAsync();
        _page.Console += (_, message) =>
        {
            if (message.Type is "error" or "warning")
            {
                _problems.Add(message.Text);
            }
        };
        _page.PageError += (_, error) => _problems.Add(error);
        _page.Request += (_, request) => _requests.Add(request.Url);
    }

    /// <summary>With all sections laid out, as a reader sees each who has come to it.</summary>
    private async Task OpenAsync()
    {
        await _page.GotoAsync(Address);
        await _page.AddStyleTagAsync(new() { Content = "main > section { content-visibility: visible !important }" });
    }

    public Task DisposeAsync() => _page.CloseAsync();

    [Theory]
    [InlineData(ColorScheme.Light, 1280)]
    [InlineData(ColorScheme.Dark, 1280)]
    [InlineData(ColorScheme.Light, 320)]
    public async Task NothingIsInTheWayOfAnyReader(ColorScheme scheme, int width)
    {
        await _page.SetViewportSizeAsync(width, 800);
        await _page.EmulateMediaAsync(new() { ColorScheme = scheme });
        await OpenAsync();

        await Barriers.AssertNoneAsync(_page);
    }

    /// <summary>1.4.10 of WCAG 2.2 asks for 320 px. What is too wide for that scrolls inside its own frame.</summary>
    [Theory]
    [InlineData(320)]
    [InlineData(720)]
    [InlineData(768)]
    [InlineData(968)]
    [InlineData(1024)]
    [InlineData(1280)]
    public async Task ThePageNeverScrollsSideways(int width)
    {
        await _page.SetViewportSizeAsync(width, 800);
        await OpenAsync();

        Assert.Equal(width, await _page.EvaluateAsync<int>("document.documentElement.scrollWidth"));
    }

    /// <summary>Rows become cards only where the columns do not fit.</summary>
    [Theory]
    [InlineData(320, false, false)]
    [InlineData(768, false, true)]
    [InlineData(1024, true, true)]
    public async Task TablesStayTables_WhereThereIsRoom(int width, bool ofEightColumns, bool ofFour)
    {
        await _page.SetViewportSizeAsync(width, 800);
        await OpenAsync();

        Assert.Equal(ofEightColumns ? "table" : "block", await LaidOutAsync("#files table"));
        Assert.Equal(ofFour ? "table" : "block", await LaidOutAsync("#set-aside table"));
    }

    private Task<string> LaidOutAsync(string table) => _page.Locator(table).EvaluateAsync<string>("table => getComputedStyle(table).display");

    /// <summary>Sections out of view have only a height that was guessed, until they come near.</summary>
    [Fact]
    public async Task EveryLinkOfTheContents_BringsItsSectionIntoView()
    {
        await _page.SetViewportSizeAsync(1280, 800);
        await _page.GotoAsync(Address);
        ILocator links = _page.Locator("nav a");
        int count = await links.CountAsync();

        Assert.InRange(count, 4, 20);
        for (int i = count - 1; i >= 0; i--)
        {
            string target = (await links.Nth(i).GetAttributeAsync("href"))!;
            await _page.EvaluateAsync("scrollTo(0, 0)");
            await links.Nth(i).ClickAsync();
            await _page.EvaluateAsync("new Promise(drawn => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(drawn, 0))))");

            float top = (await _page.Locator(target).BoundingBoxAsync())!.Y;
            Assert.True(top is > -60 and < 60, $"{target} is {top} px from the top");
        }
    }

    [Fact]
    public async Task TheFile_AsksTheNetworkForNothing_AndRaisesNoError()
    {
        await _page.GotoAsync(Address);

        Assert.Empty(_problems);
        Assert.All(_requests, url => Assert.Matches("^(file|data):", url));
    }

    /// <summary>How soon it opens is measured by <c>scripts/bench report</c>.</summary>
    [Fact]
    public async Task AnHourOfSuchTakes_IsBelowFiveMegabytes()
    {
        double seconds = run.Clips.Values.Max(clip => double.TryParse(clip["duration_s"], CultureInfo.InvariantCulture, out double length) ? length : 0);

        string hour = HourLongPage.Of(await File.ReadAllTextAsync(run.Output("report/index.html")), TimeSpan.FromSeconds(seconds));

        Assert.InRange(seconds, 400, 420);
        Assert.InRange(Encoding.UTF8.GetByteCount(hour), 1_000_000, 5_000_000);
    }

    /// <summary>Each camera of each take can be seen and heard against the recorder, each change of mic be heard, and each clip be seen.</summary>
    [Fact]
    public async Task EveryPlayerPlays_AndEveryPictureShows()
    {
        await _page.GotoAsync(Address);

        double[] seconds = await _page.EvaluateAsync<double[]>(
            """
            Promise.all([...document.querySelectorAll('audio')].map(player => new Promise((heard, failed) => {
                player.onloadedmetadata = () => heard(player.duration);
                player.onerror = () => failed(new Error(player.getAttribute('aria-label') + ': ' + player.error.message));
                player.preload = 'metadata';
                player.load();
            })))
            """);
        int[] widths = await _page.EvaluateAsync<int[]>("[...document.images].map(picture => picture.naturalWidth)");

        Assert.Equal(2 * 2 + 2, seconds.Length);
        Assert.All(seconds, length => Assert.InRange(length, 5.9, 7));
        Assert.Equal(Enumerable.Repeat(160, 7), widths);
        Assert.Empty(_problems);
    }

    /// <summary>What may not break across sheets must fit on one, else a browser breaks it all the same.</summary>
    [Theory]
    [InlineData("A4", 210, 297)]
    [InlineData("Letter", 215.9, 279.4)]
    public async Task OnPaper_NoPlotIsCut(string paper, double widthMm, double heightMm)
    {
        int width = (int)((widthMm - (2 * MarginMm)) * PixelsPerMm);
        double height = (heightMm - (2 * MarginMm)) * PixelsPerMm;
        await _page.SetViewportSizeAsync(width, (int)height);
        await _page.EmulateMediaAsync(new() { Media = Microsoft.Playwright.Media.Print });
        await _page.GotoAsync(Address);

        JsonElement figures = (await _page.EvaluateAsync(
            """
            [...document.querySelectorAll('figure')].map(figure => ({
                height: figure.getBoundingClientRect().height,
                inside: getComputedStyle(figure).breakInside,
                over: Math.max(...[...figure.querySelectorAll('.scroll')].map(frame => frame.scrollWidth - frame.clientWidth)),
            }))
            """))!.Value;
        double firstSheet = await _page.EvaluateAsync<double>("document.querySelector('#map').getBoundingClientRect().bottom");
        byte[] sheets = await _page.PdfAsync(new() { Format = paper, PrintBackground = true });

        Assert.InRange(figures.GetArrayLength(), 5, 1000);
        Assert.All(figures.EnumerateArray(), figure =>
        {
            Assert.Equal("avoid", figure.GetProperty("inside").GetString());
            Assert.InRange(figure.GetProperty("height").GetDouble(), 1, height);
            Assert.InRange(figure.GetProperty("over").GetDouble(), 0, 1);
        });
        Assert.InRange(firstSheet, 1, height);
        Assert.True(sheets.AsSpan().StartsWith("%PDF-"u8));
    }
}
