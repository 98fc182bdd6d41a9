using System.Diagnostics;

namespace SyncBench.Worker.Tests;

/// <summary>What a run of the program said.</summary>
internal sealed record Answer(int ExitCode, string Output, string Error)
{
    /// <summary>Lines on standard error: what a user is told when something is wrong.</summary>
    internal string[] ErrorLines => Error.Split('\n', StringSplitOptions.RemoveEmptyEntries);
}

/// <summary>Runs the real program in a process of its own, as a shell would.</summary>
internal static class SyncBenchProgram
{
    internal static Task<Answer> RunAsync(params string[] arguments) => UnderAsync([], arguments);

    /// <param name="observer">A command that runs the program as its child: "strace" and its options.</param>
    internal static async Task<Answer> UnderAsync(string[] observer, params string[] arguments)
    {
        using Process process = Start(observer, arguments);
        return await EndAsync(process);
    }

    internal static Process Start(string[] observer, params string[] arguments)
    {
        string program = Path.Combine(AppContext.BaseDirectory, "SyncBench.Worker.dll");
        string[] command = [.. observer, "dotnet", program, .. arguments];
        var start = new ProcessStartInfo(command[0], command[1..])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
            // Short runs are mostly compiling: quick code pays here, and does the same.
            Environment = { ["DOTNET_TC_QuickJitForLoops"] = "1" },
        };
        return Process.Start(start)!;
    }

    internal static async Task<Answer> EndAsync(Process process)
    {
        Task<string> output = process.StandardOutput.ReadToEndAsync();
        Task<string> error = process.StandardError.ReadToEndAsync();
        await process.WaitForExitAsync();
        return new Answer(process.ExitCode, await output, await error);
    }
}
