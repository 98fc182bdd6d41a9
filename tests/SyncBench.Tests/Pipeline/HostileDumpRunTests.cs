using Serilog;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Pipeline;
using SyncBench.Selection;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Pipeline;

/// <summary>Dumps that break what trusts them: whatever comes, each file has an outcome and no result is half-written.</summary>
public sealed class HostileDumpRunTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Names_MayHoldWhateverAFileSystemTakes()
    {
        await NoiseAsync("plain.wav");
        string longest = new string('ä', 125) + "1.wav"; // 255 bytes of UTF-8, the most that a name has
        string[] names = ["-i.wav", "two\nlines.wav", "\"'`$(x).wav", "%03d %s.wav", "\u202Evaw.\u0661.wav", "=1+1.wav", longest];
        string longFolder = new string('b', 255);
        Directory.CreateDirectory(_folder.File($"dump/{longFolder}"));
        for (int i = 0; i < names.Length; i++)
        {
            byte[] sound = await File.ReadAllBytesAsync(_folder.File("plain.wav"));
            sound[^1] ^= (byte)i; // no two with the same content
            await File.WriteAllBytesAsync(_folder.File($"dump/{longFolder}/{names[i]}"), sound);
        }

        DumpResult result = await RunAsync();

        Assert.Equal(names.Length, result.Files.Length);
        Assert.All(result.Files, file => Assert.NotEqual(Outcome.Unreadable, file.Outcome));
        Assert.All(result.Files, file => Assert.Null(file.Damage));
        Assert.True(File.Exists(_folder.File("out/report/index.html")));
    }

    [Fact]
    public async Task PipesDevicesAndLinks_AreLeftAlone()
    {
        await NoiseAsync("dump/REC/1.wav");
        await Tool.RunAsync("mkfifo", _folder.File("dump/REC/pipe.wav"));
        Directory.CreateSymbolicLink(_folder.File("dump/REC/loop"), _folder.File("dump"));
        File.CreateSymbolicLink(_folder.File("dump/REC/out.wav"), "/etc/hostname");
        File.CreateSymbolicLink(_folder.File("dump/REC/nowhere.wav"), "/nowhere/at/all");
        if (Environment.IsPrivilegedProcess)
        {
            await Tool.RunAsync("mknod", _folder.File("dump/REC/device.wav"), "c", "1", "5");
        }

        DumpResult result = await RunAsync();

        Assert.Equal("REC/1.wav", Assert.Single(result.Files).File.Path);
        Assert.Equal(Environment.IsPrivilegedProcess ? 5 : 4, result.Findings.Count(finding => finding.Kind == FindingKind.NotRead));
    }

    [Theory]
    [InlineData(Stage.Probe)]
    [InlineData(Stage.ReadSound)]
    [InlineData(Stage.Align)]
    public async Task ADumpThatVanishesMidRun_IsSaid(Stage when)
    {
        await NoiseAsync("dump/REC/1.wav");
        await NoiseAsync("dump/CAM/1.mov");
        var vanish = new At(when, () => Directory.Move(_folder.File("dump"), _folder.File("elsewhere")));

        try
        {
            DumpResult result = await Run().RunAsync(Request("out"), vanish, CancellationToken.None);

            Assert.All(result.Files, file => Assert.NotEmpty(file.Reason));
            Assert.True(when != Stage.Probe || result.NeedsAPerson); // later, all may have been read already
        }
        catch (RunRefusedException refused)
        {
            Assert.Contains(_folder.File("dump"), refused.Message, StringComparison.Ordinal);
        }
    }

    /// <summary>A disk of 64 KiB, where this machine lets us mount one: as root, outside most containers.</summary>
    [Fact]
    public async Task AFullDisk_LeavesNoHalfWrittenResult()
    {
        await NoiseAsync("dump/REC/1.wav");
        Directory.CreateDirectory(_folder.File("small"));
        bool mounted = Environment.IsPrivilegedProcess && await Tool.SucceedsAsync("mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", _folder.File("small"));
        if (!mounted)
        {
            Assert.Throws<IOException>(() => WholeFile.Write(_folder.File("small/a"), _ => throw new IOException("No space left on device")));
            Assert.Empty(Directory.GetFileSystemEntries(_folder.File("small")));
            return;
        }

        try
        {
            File.WriteAllBytes(_folder.File("small/filler"), new byte[56 << 10]);

            await Assert.ThrowsAsync<IOException>(() => Run().RunAsync(Request("small"), null, CancellationToken.None));

            Assert.DoesNotContain(Directory.EnumerateFiles(_folder.File("small"), "*", SearchOption.AllDirectories), file => file.EndsWith(".part", StringComparison.Ordinal));
            Assert.False(File.Exists(_folder.File("small/sync.json")));
        }
        finally
        {
            await Tool.RunAsync("umount", _folder.File("small"));
        }
    }

    private static DumpRun Run() => new(new LoggerConfiguration().CreateLogger(), TimeProvider.System);

    private Task<DumpResult> RunAsync() => Run().RunAsync(Request("out"), null, CancellationToken.None);

    private RunRequest Request(string output) => new(
        _folder.File("dump"), OutputFolder.Open(_folder.File(output), _folder.File("dump")), DumpSettings.Usual);

    private Task NoiseAsync(string name)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(_folder.File(name))!);
        return Tool.FfmpegAsync(
            "-f", "lavfi", "-i", $"anoisesrc=r=48000:a=0.3:seed={name.Length}:d=2", "-c:a", "pcm_s16le", _folder.File(name));
    }

    private sealed class At(Stage stage, Action act) : IProgress<StageProgress>
    {
        private int _done;

        public void Report(StageProgress value)
        {
            if (value.Stage == stage && Interlocked.Exchange(ref _done, 1) == 0)
            {
                act();
            }
        }
    }
}
