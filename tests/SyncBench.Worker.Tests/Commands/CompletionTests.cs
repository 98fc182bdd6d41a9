using System.Text.RegularExpressions;
using SyncBench.Tests.Support;

namespace SyncBench.Worker.Tests.Commands;

/// <summary>scripts/completion.bash in a real bash, against what the program's own help lists.</summary>
public sealed partial class CompletionTests
{
    [Fact]
    public async Task EveryCommandAndEveryOption_IsOffered_AndNoOther()
    {
        string help = (await SyncBenchProgram.RunAsync("--help")).Output;
        string[] commands = [.. Commands().Matches(help[help.IndexOf("COMMANDS:", StringComparison.Ordinal)..]).Select(command => command.Groups["name"].Value)];

        Assert.Equal(commands.Append("--help").Order(StringComparer.Ordinal), await OfferedAsync("syncbench", ""));
        Assert.Equal(5, commands.Length);
        foreach (string command in commands)
        {
            Answer answer = await SyncBenchProgram.RunAsync(command, "--help");
            string[] options = [.. Options().Matches(answer.Output[answer.Output.IndexOf("OPTIONS:", StringComparison.Ordinal)..])
                .Select(option => option.Value).Distinct().Order(StringComparer.Ordinal)];
            Assert.Equal(options, await OfferedAsync("syncbench", command, "--"));
        }
    }

    [Fact]
    public async Task FoldersAndFiles_AreOfferedWhereTheyAreMeant_BlanksAndAll()
    {
        using var folder = new TemporaryFolder();
        Directory.CreateDirectory(folder.File("day 2"));
        await File.WriteAllTextAsync(folder.File("day 2.json"), "{}");

        Assert.Equal([folder.File("day 2")], await OfferedAsync("syncbench", "run", folder.File("da")));
        Assert.Equal([folder.File("day 2")], await OfferedAsync("syncbench", "run", "dump", "--out", folder.File("da")));
        Assert.Equal([folder.File("day 2"), folder.File("day 2.json")], await OfferedAsync("syncbench", "run", "dump", "--settings", folder.File("da")));
        Assert.Equal(["xxh128", "xxh3", "xxh64"], await OfferedAsync("syncbench", "verify", "dump", "--hash", "x"));
        Assert.Equal(["run"], await OfferedAsync("syncbench", "r"));
    }

    private static async Task<string[]> OfferedAsync(params string[] words)
    {
        const string Ask = """source "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _syncbench; printf '%s\n' "${COMPREPLY[@]}" """;
        string offered = await Tool.OutputAsync("bash", ["-c", Ask, "bash", Repository.File("scripts/completion.bash"), .. words]);
        return [.. offered.Split('\n', StringSplitOptions.RemoveEmptyEntries).Order(StringComparer.Ordinal)];
    }

    [GeneratedRegex("^    (?<name>[a-z]+) ", RegexOptions.Multiline | RegexOptions.ExplicitCapture)]
    private static partial Regex Commands();

    [GeneratedRegex("--[a-z-]+", RegexOptions.None)]
    private static partial Regex Options();
}
