using System.Text.RegularExpressions;
using SyncBench.Scenes;

namespace SyncBench.Worker.Tests.Commands;

/// <summary>
/// What the kernel saw of a whole run, its ffmpeg processes included: strace prints every call that could change a file by its name.
/// </summary>
public sealed partial class OriginalsTests : IDisposable
{
    private const string Calls =
        "open,openat,openat2,creat,truncate,unlink,unlinkat,rename,renameat,renameat2,mkdir,mkdirat,rmdir,link,linkat,symlink,symlinkat,"
        + "mknod,mknodat,chmod,fchmodat,chown,fchownat,utime,utimes,utimensat,setxattr,lsetxattr,removexattr";

    private readonly string _folder = Directory.CreateTempSubdirectory("syncbench-test-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task NoFileOfTheDump_IsEverOpenedForWriting()
    {
        await RenderAsync("RECORDER/R001.WAV", "-c:a", "pcm_s24le");
        await RenderAsync("CAM_A/A001.MOV", "-f", "lavfi", "-i", "testsrc2=s=64x64:r=25:d=12", "-map", "1:v", "-map", "0:a", "-c:v", "mpeg4", "-c:a", "aac");
        string[] originals = Directory.GetFiles(In("ropewalk-day2"), "*", SearchOption.AllDirectories);
        var before = originals.Select(file => (File.GetLastWriteTimeUtc(file), Convert.ToHexString(File.ReadAllBytes(file)))).ToArray();

        Answer answer = await SyncBenchProgram.UnderAsync(
            ["strace", "-f", "-y", "-qq", "-s", "4096", "-o", In("calls"), "-e", $"trace={Calls}"],
            "run", In("ropewalk-day2"), "--out", In("out"));

        Assert.True(answer.ExitCode == 0, answer.Error + answer.Output);
        string[] calls = [.. (await File.ReadAllLinesAsync(In("calls"))).Where(call => !call.Contains(" resumed>", StringComparison.Ordinal))];
        string[] onDump = [.. calls.Where(call => call.Contains(In("ropewalk-day2"), StringComparison.Ordinal))];
        Assert.All(originals, file => Assert.Contains(onDump, call => call.Contains(file, StringComparison.Ordinal) && IsReading(call)));
        Assert.Contains(calls, call => call.Contains(In("out"), StringComparison.Ordinal) && !IsReading(call)); // so writing does show
        Assert.All(onDump, call => Assert.True(IsReading(call), call));
        Assert.Equal(before, originals.Select(file => (File.GetLastWriteTimeUtc(file), Convert.ToHexString(File.ReadAllBytes(file)))));
    }

    /// <summary>Arguments stand on a call's first line; one that another thread interrupted is "resumed" on a line without them.</summary>
    private static bool IsReading(string call) =>
        Opens().IsMatch(call) && call.Contains("O_RDONLY", StringComparison.Ordinal) && !Writes().IsMatch(call);

    private async Task RenderAsync(string file, params string[] rest)
    {
        string path = In($"ropewalk-day2/{file}");
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        await ExternalTool.RunAsync(
            "ffmpeg", ["-v", "error", "-f", "lavfi", "-i", "anoisesrc=d=12:r=48000:seed=5:a=0.1,tremolo=f=3:d=0.9", .. rest, path],
            feed: null, CancellationToken.None);
    }

    private string In(string name) => Path.Combine(_folder, name);

    [GeneratedRegex(@"^\d+\s+open(at2?)?\(", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Opens();

    [GeneratedRegex("O_WRONLY|O_RDWR|O_CREAT|O_TRUNC|O_APPEND", RegexOptions.CultureInvariant)]
    private static partial Regex Writes();
}
