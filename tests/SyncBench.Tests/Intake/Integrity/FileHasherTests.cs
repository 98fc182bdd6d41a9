using SyncBench.Intake.Integrity;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Intake.Integrity;

public sealed class FileHasherTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>The sizes lie around those of the pieces in which a file is read. The peers are coreutils' programs.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(262_143)]
    [InlineData(262_144)]
    [InlineData(262_145)]
    [InlineData(1_000_000)]
    public async Task Checksums_AreThoseOfOtherPrograms(int bytes)
    {
        byte[] content = new byte[bytes];
        new Random(bytes).NextBytes(content);
        await File.WriteAllBytesAsync(_folder.File("a"), content);
        long told = 0;

        var hashes = await FileHasher.HashAsync(
            _folder.File("a"), [HashKind.Md5, HashKind.Sha1, HashKind.Xxh128], new Sum(read => told += read), CancellationToken.None);

        Assert.Equal((await Tool.OutputAsync("md5sum", _folder.File("a")))[..32], hashes[0].Value);
        Assert.Equal((await Tool.OutputAsync("sha1sum", _folder.File("a")))[..40], hashes[1].Value);
        Assert.Equal(RunningHash.Of(HashKind.Xxh128, content), hashes[2]);
        Assert.Equal(bytes, told);
    }

    [Fact]
    public async Task AFileThatChangesWhileItIsRead_HasNoChecksum()
    {
        await File.WriteAllBytesAsync(_folder.File("a.mov"), new byte[3_000_000]);
        var listed = _folder.Listed("a.mov");
        var grow = new Once(() => File.AppendAllText(_folder.File("a.mov"), "more"));

        HashedFile hashed = Assert.Single(await DumpHasher.HashAsync([listed], _ => [HashKind.Xxh128], null, grow, CancellationToken.None));

        Assert.True(hashed.IsGrowing);
        Assert.Empty(hashed.Hashes);
        Assert.Contains("still being copied", hashed.Problem, StringComparison.Ordinal);
    }

    [Fact]
    public async Task AFileThatIsGone_IsSaid()
    {
        await File.WriteAllTextAsync(_folder.File("a.mov"), "rope");
        var listed = _folder.Listed("a.mov");
        File.Delete(listed.FullPath);

        HashedFile hashed = Assert.Single(await DumpHasher.HashAsync([listed], _ => [HashKind.Xxh128], null, null, CancellationToken.None));

        Assert.Contains("gone", hashed.Problem, StringComparison.Ordinal);
    }

    private sealed class Sum(Action<long> add) : IProgress<long>
    {
        public void Report(long value) => add(value);
    }

    private sealed class Once(Action act) : IProgress<HashProgress>
    {
        private bool _done;

        public void Report(HashProgress value)
        {
            if (!_done)
            {
                _done = true;
                act();
            }
        }
    }
}
