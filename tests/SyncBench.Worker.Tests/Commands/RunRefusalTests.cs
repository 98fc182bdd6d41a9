namespace SyncBench.Worker.Tests.Commands;

/// <summary>What cannot be run is said in one line that names the thing and what to do, with the exit code of the design.</summary>
public sealed class RunRefusalTests : IDisposable
{
    private const int Failed = 1;
    private const int WrongUsage = 2;

    private readonly string _folder = Directory.CreateTempSubdirectory("syncbench-test-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task AFolderThatIsNotThere()
    {
        Answer answer = await SyncBenchProgram.RunAsync("run", In("gone"), "--out", In("out"));

        AssertSaid(answer, WrongUsage, In("gone"), "no such folder");
        Assert.False(Directory.Exists(In("out")));
    }

    [Fact]
    public async Task AnEmptyFolder()
    {
        Directory.CreateDirectory(In("dump"));

        AssertSaid(await SyncBenchProgram.RunAsync("run", In("dump"), "--out", In("out")), Failed, In("dump"), "no files");
    }

    [Fact]
    public async Task ADumpWithoutMedia()
    {
        Directory.CreateDirectory(In("dump"));
        await File.WriteAllTextAsync(Path.Combine(In("dump"), "notes.txt"), "Tallowick, day 2");

        AssertSaid(
            await SyncBenchProgram.RunAsync("run", In("dump"), "--out", In("out")), Failed, In("dump"), "none of its 1 files is a recording");
    }

    [Fact]
    public async Task AnOutputFolderInsideTheDump()
    {
        Directory.CreateDirectory(In("dump"));
        string inside = Path.Combine(In("dump"), "results");

        AssertSaid(await SyncBenchProgram.RunAsync("run", In("dump"), "--out", inside), WrongUsage, inside, "inside the dump");
        Assert.False(Directory.Exists(inside));
    }

    [Fact]
    public async Task SettingsThatCannotBeUnderstood()
    {
        Directory.CreateDirectory(In("dump"));
        await File.WriteAllTextAsync(In("settings.json"), "{ \"devices\": [ { \"nmae\": \"CAM_A\" } ] }");

        Answer answer = await SyncBenchProgram.RunAsync(
            "run", In("dump"), "--out", In("out"), "--settings", In("settings.json"));

        AssertSaid(answer, WrongUsage, In("settings.json"), "nmae");
    }

    [Fact]
    public async Task ADumpOfSeveralThatIsNotThere_IsSaidBeforeTheFirstIsRun()
    {
        Directory.CreateDirectory(In("dump"));
        await File.WriteAllTextAsync(Path.Combine(In("dump"), "notes.txt"), "Tallowick, day 2");

        AssertSaid(await SyncBenchProgram.RunAsync("run", In("dump"), In("gone"), "--out", In("out")), WrongUsage, In("gone"), "no such folder");
        Assert.False(File.Exists(In("out/dump/syncbench.log")));
    }

    [Fact]
    public async Task TwoDumpsOfOneName()
    {
        Directory.CreateDirectory(In("a/day2"));
        Directory.CreateDirectory(In("b/day2"));

        AssertSaid(
            await SyncBenchProgram.RunAsync("run", In("a/day2"), In("b/day2") + "/", "--out", In("out")), WrongUsage, In("a/day2"), In("b/day2"), "one by one");
    }

    [Fact]
    public async Task AnOptionWithoutItsValue()
    {
        Directory.CreateDirectory(In("dump"));

        AssertSaid(await SyncBenchProgram.RunAsync("run", In("dump"), "--out"), WrongUsage, "--out needs a value");
        AssertSaid(await SyncBenchProgram.RunAsync("verify", In("dump"), "--out", "--json"), WrongUsage, "--out needs a value", "verify --help");
        AssertSaid(await SyncBenchProgram.RunAsync("run", In("dump"), "--out", ""), WrongUsage, "no name");
    }

    [Theory]
    [InlineData("run")]
    [InlineData("run", "dump")]
    [InlineData("run", "dump", "--out", "out", "--loud")]
    [InlineData("sync")]
    public async Task AWrongCommand(params string[] arguments)
    {
        Answer answer = await SyncBenchProgram.RunAsync(arguments);

        Assert.Equal(WrongUsage, answer.ExitCode);
        Assert.Contains("--help", Assert.Single(answer.ErrorLines), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Help_TeachesByExamples()
    {
        Answer answer = await SyncBenchProgram.RunAsync("--help");

        Assert.Equal(0, answer.ExitCode);
        Assert.All(new[] { "run", "verify", "probe", "settings", "watch" }, command => Assert.Contains($"    {command} ", answer.Output, StringComparison.Ordinal));
        Assert.Contains("ropewalk-day2", answer.Output, StringComparison.Ordinal);
    }

    private static void AssertSaid(Answer answer, int code, params string[] words)
    {
        Assert.Equal(code, answer.ExitCode);
        string line = Assert.Single(answer.ErrorLines);
        Assert.All(words, word => Assert.Contains(word, line, StringComparison.Ordinal));
        Assert.DoesNotContain("   at ", answer.Error, StringComparison.Ordinal);
    }

    private string In(string name) => Path.Combine(_folder, name);
}
