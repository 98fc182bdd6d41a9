namespace SyncBench.Worker.Tests.Commands;

/// <summary>Exit 0: all as it was; 3: something is missing, changed or unknown; 2: nothing to verify by.</summary>
public sealed class VerifyTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("syncbench-test-").FullName;

    public VerifyTests()
    {
        Directory.CreateDirectory(In("dump"));
        File.WriteAllText(In("dump/A001C001.MP4"), "one");
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task WhatBecomesOfADump()
    {
        Assert.Equal(2, (await VerifyAsync(In("dump"))).ExitCode);
        Assert.Equal(2, (await VerifyAsync(In("dump"), "--out", In("out"), "--hash", "crc")).ExitCode);
        Assert.Equal(2, (await VerifyAsync(In("dump"), "--out", In("dump/out"))).ExitCode);
        Assert.Equal(0, (await VerifyAsync(In("dump"), "--out", In("out"))).ExitCode);
        Assert.Equal(0, (await VerifyAsync(In("dump"), "--out", In("out"))).ExitCode);

        await File.WriteAllTextAsync(In("dump/A001C001.MP4"), "1");
        Answer changed = await VerifyAsync(In("dump"), "--out", In("out"));

        Assert.Equal(3, changed.ExitCode);
        Assert.Contains("changed    A001C001.MP4: ", changed.Output, StringComparison.Ordinal);
        Assert.Empty(changed.ErrorLines);
    }

    private static Task<Answer> VerifyAsync(params string[] arguments) => SyncBenchProgram.RunAsync(["verify", .. arguments]);

    private string In(string name) => Path.Combine(_folder, name);
}
