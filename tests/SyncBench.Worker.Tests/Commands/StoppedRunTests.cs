using System.Diagnostics;
using System.Globalization;
using SyncBench.Tests.Support;

namespace SyncBench.Worker.Tests.Commands;

public sealed class StoppedRunTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>The signals of Ctrl+C and of who shuts a machine down (POSIX.1-2017, signal.h).</summary>
    [Theory]
    [InlineData("INT")]
    [InlineData("TERM")]
    public async Task ARunThatIsStopped_SaysSo_AndTakesItsScratchFilesWithIt(string signal)
    {
        string dump = Directory.CreateDirectory(_folder.File("ropewalk-day2")).FullName;
        string scratch = Directory.CreateDirectory(_folder.File("scratch")).FullName;
        await Tool.FfmpegAsync("-f", "lavfi", "-i", "anoisesrc=d=120:r=48000:seed=5:a=0.1", Path.Combine(dump, "R001.FLAC"));

        // Who starts tests in the background of a shell has them ignore INT, and all that they start.
        using Process run = SyncBenchProgram.Start(["env", "--default-signal=INT", $"TMPDIR={scratch}"], "run", dump, "--out", _folder.File("out"));
        Task<Answer> answer = SyncBenchProgram.EndAsync(run);
        await ScratchIsMadeAsync(scratch);
        await Tool.RunAsync("kill", $"-{signal}", run.Id.ToString(CultureInfo.InvariantCulture));

        Assert.Equal("syncbench: Stopped. Nothing half-written was left; run again to begin anew.\n", (await answer).Error);
        Assert.Equal(1, run.ExitCode);
        Assert.Empty(Directory.GetFileSystemEntries(scratch, "syncbench-*"));
        Assert.False(File.Exists(_folder.File("out/sync.json")));
    }

    private static async Task ScratchIsMadeAsync(string scratch)
    {
        using var patience = new CancellationTokenSource(TimeSpan.FromMinutes(2));
        while (Directory.GetDirectories(scratch, "syncbench-*").Length == 0)
        {
            await Task.Delay(20, patience.Token);
        }
    }
}
