using System.Diagnostics;

namespace SyncBench.Scenes;

/// <summary>Runs a program with an argument list, never through a shell.</summary>
public static class ExternalTool
{
    /// <param name="feed">Writes the program's standard input; null gives it none.</param>
    /// <returns>Its standard output.</returns>
    /// <exception cref="InvalidOperationException">It could not be started or failed; the message says why.</exception>
    public static async Task<byte[]> RunAsync(
        string program, IReadOnlyList<string> arguments, Func<Stream, Task>? feed, CancellationToken cancel)
    {
        var start = new ProcessStartInfo(program)
        {
            UseShellExecute = false,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        foreach (string argument in arguments)
        {
            start.ArgumentList.Add(argument);
        }

        using Process process = Process.Start(start)
            ?? throw new InvalidOperationException($"{program} did not start.");
        using CancellationTokenRegistration stop = cancel.Register(() => process.Kill(entireProcessTree: true));
        Task<string> errors = process.StandardError.ReadToEndAsync(CancellationToken.None);
        using var output = new MemoryStream();
        Task reading = process.StandardOutput.BaseStream.CopyToAsync(output, CancellationToken.None);
        IOException? broken = null;
        try
        {
            if (feed is not null)
            {
                await feed(process.StandardInput.BaseStream);
            }

            process.StandardInput.Close();
        }
        catch (IOException exception)
        {
            broken = exception; // the program has gone away; its own words, below, say why
        }

        await reading;
        await process.WaitForExitAsync(CancellationToken.None);
        cancel.ThrowIfCancellationRequested();
        return process.ExitCode == 0 && broken is null
            ? output.ToArray()
            : throw new InvalidOperationException(
                $"{program} failed with exit code {process.ExitCode}: {(await errors).Trim()}", broken);
    }
}
