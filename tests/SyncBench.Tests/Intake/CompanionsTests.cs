using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Intake;

public sealed class CompanionsTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("CAM_A/PROXY/A001C001.MP4", 640, 10.02, true)]
    [InlineData("CAM_A/SUB/A001C001S03.MP4", 1280, 10, true)]
    [InlineData("CAM_A/A001C001_proxy.MOV", 960, 10, true)]
    [InlineData("CAM_A/PROXY/A001C002.MP4", 640, 10, false)]
    [InlineData("CAM_A/PROXY/A001C001.MP4", 1920, 10, false)]
    [InlineData("CAM_B/A001C001.MP4", 640, 12, false)]
    public void AProxy_HasNameAndLengthOfItsOriginal_AndLessPicture(string path, int width, double seconds, bool isProxy)
    {
        MediaInfo original = Movie("CAM_A/A001C001.MOV", 1920, 10), other = Movie(path, width, seconds);

        Assert.Equal(isProxy, Companions.Proxies([original, other]).TryGetValue(other.File, out MediaFile? of) && of == original.File);
        Assert.False(Companions.Proxies([original, other]).ContainsKey(original.File));
    }

    [Fact]
    public void Stills_AreThumbnailsSequencesOrSingle()
    {
        MediaInfo[] stills = [Movie("CAM_A/A001C001.JPG", 320, 0), Movie("CAM_A/quay.jpg", 320, 0), .. Enumerable.Range(1, 12).Select(n => Movie($"LAPSE/P{n:0000}.JPG", 6000, 0))];

        var reasons = Companions.Stills(stills, [Movie("CAM_A/A001C001.MOV", 1920, 10)]);

        Assert.Equal("the thumbnail of CAM_A/A001C001.MOV", reasons[stills[0].File]);
        Assert.Equal("a still picture", reasons[stills[1].File]);
        Assert.All(stills[2..], still => Assert.Equal("one of 12 numbered stills: a time lapse or a sequence of pictures", reasons[still.File]));
    }

    [Theory]
    [InlineData("A001C001M01.XML", "\uFEFF<?xml version=\"1.0\"?>", "a sidecar of A001C001.MOV (XML)")]
    [InlineData("A001C001.MOV.bin", "\0\u0001", "a sidecar of A001C001.MOV (data of its own kind)")]
    [InlineData("notes.txt", "{ \"roll\": 1 }", "not a recording (JSON)")]
    [InlineData("notes.xml", "hemp", "not a recording (text)")]
    [InlineData("notes.dat", "", "not a recording (empty)")]
    public void ASidecar_IsToldByWhatItHolds(string name, string content, string reason)
    {
        File.WriteAllText(_folder.File(name), content);

        Assert.Equal(reason, Companions.Sidecar(_folder.Listed(name), [Movie("A001C001.MOV", 1920, 10)]));
    }

    private static MediaInfo Movie(string path, int width, double seconds) => new(
        new MediaFile(path, "/dump/" + path, 1), seconds > 0 ? "mov" : "jpeg_pipe", MediaTime.Zero, MediaTime.FromSeconds(seconds),
        [new VideoStream(0, "h264", Rate.Fps25, width, width * 9 / 16, MediaTime.Zero, MediaTime.FromSeconds(seconds))], [], null, null, null);
}
