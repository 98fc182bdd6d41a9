using System.Runtime.Versioning;
using System.Text.RegularExpressions;
using SyncBench.Scenes;
using SyncBench.Tests.Support;

namespace SyncBench.Worker.Tests.Docs;

/// <summary>
/// Every command of the documents. Those of the program are run here, on a dump of four seconds, with and without what stands in
/// brackets; every script says what it is for. <c>scripts/demo</c>, <c>pictures</c> and <c>bench</c> are run by DemoRun, DemoScriptsTests and
/// BenchmarksTests; an administrator's commands, and PostgreSQL's, by UnitFileTests and ManyMachinesTests in the service's tests.
/// </summary>
[UnsupportedOSPlatform("windows")]
public sealed partial class DocumentedCommandsTests : IAsyncLifetime, IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public async Task InitializeAsync()
    {
        Directory.CreateDirectory(_folder.File("DUMP/RECORDER"));
        await ExternalTool.RunAsync(
            "ffmpeg",
            ["-v", "error", "-f", "lavfi", "-i", "anoisesrc=d=4:r=48000:seed=5:a=0.1", "-c:a", "pcm_s16le", _folder.File("DUMP/RECORDER/R001.WAV")],
            feed: null, CancellationToken.None);
        await File.WriteAllTextAsync(_folder.File("FILE"), """{ "certainty": 0.99 }""");
        Assert.Equal(0, (await SyncBenchProgram.RunAsync("verify", _folder.File("DUMP"), "--in-dump")).ExitCode);
    }

    public Task DisposeAsync() => Task.CompletedTask;

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task EveryCommandOfTheProgram_DoesWhatItSays()
    {
        string[] commands = [.. Documents.Commands.Where(command => ProgramCall().IsMatch(command)).SelectMany(Forms).Distinct()];
        Assert.InRange(commands.Length, 10, 100);
        await Parallel.ForAsync(0, commands.Length, new ParallelOptions { MaxDegreeOfParallelism = 2 }, async (i, _) =>
        {
            string[] words = [.. commands[i].Split(' ').Skip(1).Select(word => Real(word, i))];
            Answer answer = await SyncBenchProgram.RunAsync(words);
            Assert.True(answer.ExitCode == 0, $"{commands[i]}: {answer.Error}{answer.Output}");
            Assert.NotEmpty(answer.Output);
        });
    }

    [Fact]
    public async Task EveryScript_SaysWhatItIsFor_AndDoesNothingElse()
    {
        string[] scripts = ["scripts/demo", "scripts/test", "scripts/bench", "scripts/pictures"];
        Assert.Equal([], [.. Documents.Commands.Select(command => command.Split(' ')[0]).Where(word => word.StartsWith("scripts/", StringComparison.Ordinal))
            .Except([.. scripts, "scripts/syncbench"])]);
        foreach (string script in scripts)
        {
            string said = await Tool.OutputAsync(Repository.File(script), "--help");
            Assert.StartsWith(File.ReadAllLines(Repository.File(script))[1].TrimStart('#', ' '), said, StringComparison.Ordinal);
            Assert.DoesNotContain("Building", said, StringComparison.Ordinal);
        }
    }

    /// <summary>
    /// Up to the SDK, in whose place stands a program that repeats its words: the tests cannot run themselves. That they run is what
    /// runs this.
    /// </summary>
    [Fact]
    public async Task TheScriptOfTheTests_HandsItsFilterToThem()
    {
        string sdk = _folder.File("dotnet");
        await File.WriteAllTextAsync(sdk, "#!/bin/sh\necho \"$*\"\n");
        File.SetUnixFileMode(sdk, UnixFileMode.UserRead | UnixFileMode.UserExecute);

        Answer answer = await Script.WithAsync(
            [("PATH", $"{Path.GetDirectoryName(sdk)}:{Environment.GetEnvironmentVariable("PATH")}")], "test", "--filter", "RandomCut");

        Assert.Equal((0, string.Empty), (answer.ExitCode, answer.Error));
        Assert.Matches("^test .*--no-build .*SyncBench.sln --filter RandomCut\n$", answer.Output);
    }

    [Fact]
    public void EveryOtherCommand_IsThere()
    {
        string[] others = [.. Documents.Commands.Concat(Documents.Mentioned).Where(command => !ProgramCall().IsMatch(command))];
        Assert.InRange(others.Length, 20, 200);
        Assert.All(others, command => Assert.True(IsThere(command.Split(' ')), command));
    }

    private static bool IsThere(string[] words) => words switch
    {
        ["scripts/bench", string kinds, .. string[] options] => kinds.Split('|').All(BenchmarksTests.Kinds.Contains)
            && options.Where(word => word.TrimStart('[').StartsWith("--", StringComparison.Ordinal))
                .All(option => Benchmarks.Value.Contains($"\"{option.Trim('[', ']')}\"", StringComparison.Ordinal)),
        ["scripts/test", "--filter", string name, ..] => Directory
            .GetFiles(Repository.File("tests"), $"*{name}*.cs", SearchOption.AllDirectories).Length > 0,
        ["scripts/syncbench" or "syncbench", "watch", ..] => File.ReadAllText(Repository.File("src/SyncBench.Service/Program.cs")).Contains("\"--settings\"", StringComparison.Ordinal),
        ["scripts/syncbench", "..." or "--help"] or ["syncbench", "run"] => true,
        [string script, ..] => (File.GetUnixFileMode(Repository.File(script)) & UnixFileMode.UserExecute) != UnixFileMode.None,
        _ => false,
    };

    private static readonly Lazy<string> Benchmarks = new(() => string.Concat(
        Directory.GetFiles(Repository.File("tests/SyncBench.Benchmarks"), "*.cs", SearchOption.AllDirectories).Select(File.ReadAllText)));

    /// <summary>"a [b] [c]" as "a" and "a b c".</summary>
    private static IEnumerable<string> Forms(string command) =>
        [Brackets().Replace(command, string.Empty).Trim(), command.Replace("[", string.Empty, StringComparison.Ordinal).Replace("]", string.Empty, StringComparison.Ordinal)];

    /// <summary>Results of each command go to a folder of its own.</summary>
    private string Real(string word, int command) => word switch
    {
        "DUMP" or "FILE" => _folder.File(word),
        "FOLDER" => _folder.File(FormattableString.Invariant($"FOLDER{command}")),
        "PATH" => _folder.File("DUMP/RECORDER/R001.WAV"),
        _ when word.Contains('/', StringComparison.Ordinal) => Repository.File(word),
        _ => word,
    };

    [GeneratedRegex("^scripts/syncbench (run|verify|probe|settings)( |$)", RegexOptions.ExplicitCapture)]
    private static partial Regex ProgramCall();

    [GeneratedRegex(@"\s*\[[^]]*\]")]
    private static partial Regex Brackets();
}
