using System.Diagnostics;

namespace SyncBench.Tests.Support;

/// <summary>Runs a program of the machine (ffmpeg, sox…) and fails the test where it fails.</summary>
internal static class Tool
{
    internal static async Task RunAsync(string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments) { RedirectStandardError = true, UseShellExecute = false };
        using Process process = Process.Start(start)!;
        string error = await process.StandardError.ReadToEndAsync();
        await process.WaitForExitAsync();
        Assert.True(process.ExitCode == 0, $"{program} {string.Join(' ', arguments)}: {error}");
    }

    /// <summary>What it prints, on both its outputs.</summary>
    internal static async Task<string> OutputAsync(string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments)
        {
            RedirectStandardError = true, RedirectStandardOutput = true, UseShellExecute = false,
        };
        using Process process = Process.Start(start)!;
        Task<string> error = process.StandardError.ReadToEndAsync();
        string output = await process.StandardOutput.ReadToEndAsync() + await error;
        await process.WaitForExitAsync();
        Assert.True(process.ExitCode == 0, $"{program} {string.Join(' ', arguments)}: {output}");
        return output;
    }

    internal static async Task<bool> SucceedsAsync(string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments) { RedirectStandardError = true, UseShellExecute = false };
        using Process process = Process.Start(start)!;
        await process.StandardError.ReadToEndAsync();
        await process.WaitForExitAsync();
        return process.ExitCode == 0;
    }

    internal static Task FfmpegAsync(params string[] arguments) =>
        RunAsync("ffmpeg", ["-nostdin", "-v", "error", "-y", .. arguments]);
}
