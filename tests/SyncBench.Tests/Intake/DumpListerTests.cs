using SyncBench.Intake;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Intake;

public sealed class DumpListerTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Files_ComeInOrderOfPath_WithSlashes()
    {
        Make("CAM_B/B001C001.MOV");
        Make("CAM_A/CLIPS/A001C002.MP4");
        Make("CAM_A/CLIPS/A001C001.MP4");

        DumpListing listing = DumpLister.List(_folder.Path);

        Assert.Equal(
            ["CAM_A/CLIPS/A001C001.MP4", "CAM_A/CLIPS/A001C002.MP4", "CAM_B/B001C001.MOV"],
            listing.Files.Select(file => file.Path));
    }

    [Fact]
    public void HiddenAndSystemFiles_AreCountedButNotListed()
    {
        Make(".DS_Store");
        Make("CAM_A/._A001C001.MP4");
        Make("CAM_A/Thumbs.db");
        Make("CAM_A/A001C001.MP4");

        DumpListing listing = DumpLister.List(_folder.Path);

        Assert.Equal("CAM_A/A001C001.MP4", Assert.Single(listing.Files).Path);
        Assert.Equal(3, listing.Ignored);
    }

    [Fact]
    public void ALink_IsNotFollowed()
    {
        using var elsewhere = new TemporaryFolder();
        File.WriteAllText(elsewhere.File("secret.wav"), "x");
        Make("RECORDER/1.WAV");
        Directory.CreateSymbolicLink(_folder.File("CAM_A"), elsewhere.Path);
        File.CreateSymbolicLink(_folder.File("RECORDER/2.WAV"), elsewhere.File("secret.wav"));

        DumpListing listing = DumpLister.List(_folder.Path);

        Assert.Equal("RECORDER/1.WAV", Assert.Single(listing.Files).Path);
        Assert.Equal(2, listing.Ignored);
    }

    [Fact]
    public void AFolderThatIsNotThere_IsAnException() =>
        Assert.Throws<DirectoryNotFoundException>(() => DumpLister.List(_folder.File("gone")));

    private void Make(string path)
    {
        string full = _folder.File(path);
        Directory.CreateDirectory(Path.GetDirectoryName(full)!);
        File.WriteAllText(full, "x");
    }
}
