using System.Diagnostics;
using SyncBench.Tests.Support;

namespace SyncBench.Worker.Tests;

/// <summary>
/// The scripts of the repository, as a person starts them. Only building is left out, for the tests are built: so is compiling ahead
/// by <c>scripts/syncbench</c>, which takes a minute.
/// </summary>
internal static class Script
{
    /// <param name="cache">The cache of the user, where demo and benches keep what they make; null for the real one.</param>
    internal static Task<Answer> RunAsync(string name, string? cache, params string[] arguments) =>
        WithAsync(cache is null ? [] : [("XDG_CACHE_HOME", cache)], name, arguments);

    internal static async Task<Answer> WithAsync((string Name, string Value)[] environment, string name, params string[] arguments)
    {
        var start = new ProcessStartInfo(Repository.File($"scripts/{name}"), arguments)
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
        };
        start.Environment["SYNCBENCH_BUILT"] = "1";
        foreach ((string variable, string value) in environment)
        {
            start.Environment[variable] = value;
        }

        using Process process = Process.Start(start)!;
        process.StandardInput.Close(); // nobody is there to be asked for a password
        return await SyncBenchProgram.EndAsync(process);
    }
}
