using System.Diagnostics;
using System.Runtime.Versioning;

namespace SyncBench.Worker.Tests.Commands;

/// <summary>A file that may not be read: as root there is none, so the program is then run as nobody.</summary>
[UnsupportedOSPlatform("windows")]
public sealed class UnreadableFileTests : IDisposable
{
    private const string Nobody = "65534";

    private readonly string _folder = Directory.CreateTempSubdirectory("syncbench-test-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task AFileWithoutPermission_IsNamed_AndTheExitCodeAsksForAPerson()
    {
        foreach (string file in Directory.GetFiles(AppContext.BaseDirectory))
        {
            File.Copy(file, In(Path.GetFileName(file)));
        }

        Directory.CreateDirectory(In("dump"));
        Directory.CreateDirectory(In("out"));
        await File.WriteAllTextAsync(In("dump/A001.MP4"), "one");
        await File.WriteAllTextAsync(In("dump/A002.MP4"), "two");
        OpenToAll(_folder);
        File.SetUnixFileMode(In("out"), (UnixFileMode)0x1FF);
        File.SetUnixFileMode(In("dump/A002.MP4"), UnixFileMode.None);

        string[] command = ["dotnet", In("SyncBench.Worker.dll"), "verify", In("dump"), "--out", In("out")];
        string[] asNobody = ["setpriv", $"--reuid={Nobody}", $"--regid={Nobody}", "--clear-groups", .. command];
        string[] run = Environment.IsPrivilegedProcess ? asNobody : command;
        var start = new ProcessStartInfo(run[0], run[1..]) { RedirectStandardOutput = true, RedirectStandardError = true, UseShellExecute = false };
        start.Environment["HOME"] = In("out");
        using Process process = Process.Start(start)!;
        Task<string> error = process.StandardError.ReadToEndAsync();
        string output = await process.StandardOutput.ReadToEndAsync();
        await process.WaitForExitAsync();

        Assert.Equal(3, process.ExitCode);
        Assert.Contains("unreadable A002.MP4: reading the file is not permitted", output, StringComparison.Ordinal);
        Assert.Empty(await error);
    }

    private static void OpenToAll(string folder)
    {
        const UnixFileMode Read = UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead | UnixFileMode.OtherRead;
        const UnixFileMode Enter = Read | UnixFileMode.UserExecute | UnixFileMode.GroupExecute | UnixFileMode.OtherExecute;
        File.SetUnixFileMode(folder, Enter);
        foreach (string inner in Directory.GetDirectories(folder))
        {
            OpenToAll(inner);
        }

        foreach (string file in Directory.GetFiles(folder))
        {
            File.SetUnixFileMode(file, Read);
        }
    }

    private string In(string name) => Path.Combine(_folder, name);
}
