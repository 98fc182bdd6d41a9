using System.Text.RegularExpressions;
using SyncBench.Tests.Support;

namespace SyncBench.Worker.Tests.Commands;

/// <summary>scripts/completion.* in real shells, against what the program's own help lists.</summary>
public sealed partial class CompletionTests
{
    [Theory]
    [InlineData("bash")]
    [InlineData("fish")]
    public async Task EveryCommandAndEveryOption_IsOffered_AndNoOther(string shell)
    {
        string help = (await SyncBenchProgram.RunAsync("--help")).Output;
        string[] commands = [.. Commands().Matches(help[help.IndexOf("COMMANDS:", StringComparison.Ordinal)..]).Select(command => command.Groups["name"].Value)];

        Assert.Equal(commands.Append("--help").Order(StringComparer.Ordinal), await OfferedAsync(shell, "syncbench", ""));
        Assert.Equal(5, commands.Length);
        foreach (string command in commands)
        {
            Answer answer = await SyncBenchProgram.RunAsync(command, "--help");
            string[] options = [.. Options().Matches(answer.Output[answer.Output.IndexOf("OPTIONS:", StringComparison.Ordinal)..])
                .Select(option => option.Value).Distinct().Order(StringComparer.Ordinal)];
            Assert.Equal(options, await OfferedAsync(shell, "syncbench", command, "--"));
        }
    }

    [Theory]
    [InlineData("bash")]
    [InlineData("fish")]
    public async Task FoldersAndFiles_AreOfferedWhereTheyAreMeant_BlanksAndAll(string shell)
    {
        using var folder = new TemporaryFolder();
        Directory.CreateDirectory(folder.File("day 2"));
        await File.WriteAllTextAsync(folder.File("day 2.json"), "{}");

        Assert.Equal([folder.File("day 2")], await OfferedAsync(shell, "syncbench", "run", folder.File("da")));
        Assert.Equal([folder.File("day 2")], await OfferedAsync(shell, "syncbench", "run", "dump", "--out", folder.File("da")));
        Assert.Equal([folder.File("day 2"), folder.File("day 2.json")], await OfferedAsync(shell, "syncbench", "run", "dump", "--settings", folder.File("da")));
        Assert.Equal(["xxh128", "xxh3", "xxh64"], await OfferedAsync(shell, "syncbench", "verify", "dump", "--hash", "x"));
        Assert.Equal(["run"], await OfferedAsync(shell, "syncbench", "r"));
    }

    /// <summary>zsh offers nothing to a script: it is asked as a person asks it, by the key, on a terminal of its own (zsh/zpty).</summary>
    [Fact]
    public async Task Zsh_CompletesCommandsOptionsAndPaths()
    {
        using var folder = new TemporaryFolder();
        Directory.CreateDirectory(folder.File("day 2"));
        await File.WriteAllTextAsync(folder.File(".zshrc"), $"""
            autoload -Uz compinit; compinit -D
            source {Repository.File("scripts/completion.zsh")}
            tell() {'{'} print -r -- "<$BUFFER>"; BUFFER= {'}'}
            zle -N tell; bindkey '^X' tell; PS1=ready
            """);
        const string Ask = """
            zmodload zsh/zpty; export ZDOTDIR=$1 TERM=dumb; shift
            zpty terminal zsh -i; zpty -r terminal told '*ready*'
            for line; do
              zpty -w -n terminal "$line"$'\t\030'; zpty -r terminal told '*<*>*'
              told=${told##*<}; print -r -- "${told%%>*}"
            done
            """;

        string lines = await Tool.OutputAsync(
            "zsh", "-fc", Ask, "zsh", folder.Path, "syncbench ve", "syncbench run x --o", "syncbench verify x --hash xxh1", $"syncbench run {folder.File("da")}");

        Assert.Equal(
            ["syncbench verify", "syncbench run x --out", "syncbench verify x --hash xxh128", $"syncbench run {folder.File("day\\ 2")}"],
            lines.Split(['\r', '\n'], StringSplitOptions.RemoveEmptyEntries).Select(line => line.TrimEnd(' ', '/')));
    }

    private static async Task<string[]> OfferedAsync(string shell, params string[] words)
    {
        const string AskBash = """source "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _syncbench; printf '%s\n' "${COMPREPLY[@]}" """;
        const string AskFish = "source $argv[1]; complete --do-complete (string join -- ' ' $argv[2..])";
        string script = Repository.File("scripts/completion." + shell);
        string offered = shell == "bash"
            ? await Tool.OutputAsync("bash", ["-c", AskBash, "bash", script, .. words])
            : await Tool.OutputAsync("fish", ["--no-config", "-c", AskFish, script, .. words]);
        return [.. offered.Split('\n', StringSplitOptions.RemoveEmptyEntries).Order(StringComparer.Ordinal)];
    }

    [GeneratedRegex("^    (?<name>[a-z]+) ", RegexOptions.Multiline | RegexOptions.ExplicitCapture)]
    private static partial Regex Commands();

    [GeneratedRegex("--[a-z-]+", RegexOptions.None)]
    private static partial Regex Options();
}
