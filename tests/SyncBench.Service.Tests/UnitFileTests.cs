using System.Diagnostics;
using SyncBench.Tests.Support;

namespace SyncBench.Service.Tests;

public sealed class UnitFileTests
{
    /// <summary>By systemd's own judge, with this machine's dotnet in the place of the unit's.</summary>
    [Fact]
    public async Task TheUnitInTheDocs_IsOneThatSystemdTakes()
    {
        using var folder = new TemporaryFolder();
        string text = await File.ReadAllTextAsync(Repository.File("docs/syncbench.service"));
        await File.WriteAllTextAsync(folder.File("syncbench.service"), text.Replace("/usr/bin/dotnet", Environment.ProcessPath, StringComparison.Ordinal));

        using Process judge = Process.Start(new ProcessStartInfo("systemd-analyze", ["verify", "--man=no", folder.File("syncbench.service")])
        {
            RedirectStandardError = true,
            UseShellExecute = false,
        })!;
        string said = await judge.StandardError.ReadToEndAsync();
        await judge.WaitForExitAsync();

        // It takes a unit with a misspelt line too, and only says so.
        Assert.DoesNotContain("syncbench.service", said, StringComparison.Ordinal);
        Assert.Equal(0, judge.ExitCode);
    }
}
