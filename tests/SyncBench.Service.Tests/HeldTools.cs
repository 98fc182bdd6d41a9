using SyncBench.Scenes;

namespace SyncBench.Service.Tests;

/// <summary>
/// An ffmpeg that gives the sound of the dump "held" drop by drop until it is let go: a run that lasts as long as the test wants.
/// </summary>
internal sealed class HeldTools
{
    internal const string Dump = "held";

    private readonly string _hold;

    private HeldTools(string folder)
    {
        _hold = Path.Combine(folder, "hold");
        SearchPath = $"{folder}:{Environment.GetEnvironmentVariable("PATH")}";
    }

    /// <param name="folder">Is made.</param>
    internal static async Task<HeldTools> MakeAsync(string folder)
    {
        Directory.CreateDirectory(folder);
        var tools = new HeldTools(folder);
        await File.WriteAllTextAsync(tools._hold, string.Empty);
        string ffmpeg = Path.Combine(folder, "ffmpeg");
        await File.WriteAllTextAsync(
            ffmpeg,
            $$"""
            #!/bin/sh
            real=/usr/bin/ffmpeg
            case "$*" in
              */{{Dump}}/*) "$real" "$@" | { while [ -e "{{tools._hold}}" ]; do head -c 16384; sleep 1; done; cat; } ;;
              *) exec "$real" "$@" ;;
            esac
            """);
        await ExternalTool.RunAsync("chmod", ["+x", ffmpeg], feed: null, CancellationToken.None);
        return tools;
    }

    /// <summary>For the environment of a process that is to find these tools.</summary>
    internal string SearchPath { get; }

    internal void LetGo() => File.Delete(_hold);
}
