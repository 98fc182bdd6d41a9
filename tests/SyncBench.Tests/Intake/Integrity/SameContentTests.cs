using SyncBench.Intake.Integrity;
using SyncBench.Media;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Intake.Integrity;

public sealed class SameContentTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData(1)]
    [InlineData(70_000)]
    [InlineData(3_000_000)]
    public void ACopy_IsToldWithTheFirstOfItsKind(int bytes)
    {
        byte[] content = new byte[bytes];
        new Random(3).NextBytes(content);
        MediaFile[] files = [Write("b", content), Write("a", content), Write("other", [.. content[..^1], (byte)~content[^1]])];

        KeyValuePair<MediaFile, MediaFile> copy = Assert.Single(SameContent.Find(files));

        Assert.Equal(("b", "a"), (copy.Key.Path, copy.Value.Path));
    }

    [Fact]
    public void EmptyFiles_AreNoCopies() => Assert.Empty(SameContent.Find([Write("a", []), Write("b", [])]));

    private MediaFile Write(string name, byte[] content)
    {
        File.WriteAllBytes(_folder.File(name), content);
        return _folder.Listed(name);
    }
}
