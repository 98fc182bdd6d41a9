using System.Globalization;
using SyncBench.Scenes;
using SyncBench.Tests.Support;

namespace SyncBench.Worker.Tests.Demo;

/// <summary>The scripts that go by the demo, on the one that <see cref="DemoRun"/> made.</summary>
[Collection(nameof(DemoRun))]
public class DemoScriptsTests(DemoRun run)
{
    [Fact]
    public async Task TheBenchOfTheDemo_TellsHowFarEachPlacementIsOff()
    {
        Answer answer = await Script.RunAsync("bench", run.Cache, "demo");

        Assert.Equal((0, string.Empty), (answer.ExitCode, Unexpected(answer)));
        string[][] rows = [.. answer.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries).Skip(1).Select(row => row.Split(' ', StringSplitOptions.RemoveEmptyEntries))];
        Assert.Equal(run.Truth.Files.Where(file => file.SoundAlignedStartS is not null).Select(file => file.File), rows.Select(row => row[0]));
        Assert.All(rows, row => Assert.InRange(double.Parse(row[1], CultureInfo.InvariantCulture), -0.5, 0.5));
    }

    [Fact]
    public async Task TheBenchOfTheReport_OpensItBesideAnEmptyPage_AndAnHourOfIt()
    {
        Answer answer = await Script.RunAsync("bench", run.Cache, "report");

        Assert.Equal((0, string.Empty), (answer.ExitCode, Unexpected(answer)));
        Assert.All(["nothing", "the demo's report", "an hour of such takes"], page => Assert.Contains($"\n{page} ", answer.Output, StringComparison.Ordinal));
    }

    /// <summary>Into a folder of its own: those of the docs are as they were taken.</summary>
    [Fact]
    public async Task ThePicturesOfTheDocs_AreTaken()
    {
        using var folder = new TemporaryFolder();

        Answer answer = await Script.RunAsync("pictures", run.Cache, folder.Path);

        Assert.True(answer.ExitCode == 0, answer.Error + answer.Output);
        string[] taken = [.. Directory.GetFiles(folder.Path).Order(StringComparer.Ordinal)];
        Assert.Equal(Directory.GetFiles(Repository.File("docs/pictures"), "*.png").Select(Path.GetFileName).Order(StringComparer.Ordinal), taken.Select(Path.GetFileName));
        Assert.All(taken, picture => Assert.InRange(new FileInfo(picture).Length, 1000, 200_000));
    }

    /// <summary>What it says on standard error, less that the dump is there already.</summary>
    private static string Unexpected(Answer answer) =>
        string.Concat(answer.ErrorLines.Where(line => !line.EndsWith($"is there already (version {DemoDump.Version}).", StringComparison.Ordinal)));
}
