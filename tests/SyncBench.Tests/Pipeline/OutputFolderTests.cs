using SyncBench.Pipeline;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Pipeline;

public sealed class OutputFolderTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();
    private readonly string _dump;

    public OutputFolderTests()
    {
        _dump = _folder.File("dump");
        Directory.CreateDirectory(_dump);
    }

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void AFile_IsThereWholeUnderItsNameAlone()
    {
        OutputFolder output = OutputFolder.Open(_folder.File("out"), _dump);

        output.WriteText("report/index.html", text => text.Write("Tallowick"));

        Assert.Equal("Tallowick", File.ReadAllText(_folder.File("out/report/index.html")));
        Assert.Single(Directory.GetFiles(_folder.File("out/report")));
    }

    [Fact]
    public void WhenWritingBreaksOff_TheOldFileStays()
    {
        OutputFolder output = OutputFolder.Open(_folder.File("out"), _dump);
        output.WriteText("clips.csv", text => text.Write("whole"));

        Assert.Throws<IOException>(() => output.Write("clips.csv", stream =>
        {
            stream.WriteByte((byte)'h');
            throw new IOException("disk full");
        }));

        Assert.Equal("whole", File.ReadAllText(_folder.File("out/clips.csv")));
    }

    [Theory]
    [InlineData("dump")]
    [InlineData("dump/results")]
    [InlineData("dump/a/../b")]
    [InlineData("out/../dump/results")]
    public void InsideTheDump_NothingIsMade(string path)
    {
        RunRefusedException refused = Assert.Throws<RunRefusedException>(() => OutputFolder.Open(_folder.File(path), _dump));

        Assert.True(refused.WrongUsage);
        Assert.Empty(Directory.GetFileSystemEntries(_dump));
    }

    [Fact]
    public void AFolderWhoseNameBeginsLikeTheDumps_IsNotInsideIt() =>
        Assert.Equal(_folder.File("dump-results"), OutputFolder.Open(_folder.File("dump-results"), _dump).FullPath);

    [Fact]
    public void AFileInItsPlace_IsRefused()
    {
        File.WriteAllText(_folder.File("taken"), "x");

        Assert.Throws<RunRefusedException>(() => OutputFolder.Open(_folder.File("taken"), _dump));
    }
}
