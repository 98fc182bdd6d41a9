using System.Collections.Immutable;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Tests.Intake;

public class RoleRulesTests
{
    [Fact]
    public void WithoutSettings_AFolderOfOneKindNamesTheDevice()
    {
        ImmutableArray<Clip> clips = RoleRules.Assign(
            [Movie("CAM_A/A001C001.MP4"), Movie("CAM_A/A001C002.MP4"), Sound("RECORDER/T_001.WAV")], DumpSettings.Usual);

        Assert.Equal(["CAM_A", "CAM_A", "RECORDER"], clips.Select(clip => clip.Device.Name));
        Assert.Equal(
            [DeviceKind.Camera, DeviceKind.Camera, DeviceKind.Recorder], clips.Select(clip => clip.Device.Kind));
        Assert.Equal(clips[0].Device, clips[1].Device);
    }

    [Fact]
    public void WithoutSettings_SeriesOfNumbersInOneFolderAreDevices()
    {
        ImmutableArray<Clip> clips = RoleRules.Assign(
            [Movie("A001C001.MP4"), Movie("A001C002.MP4"), Movie("B001C001.MP4"), Sound("ROPE_001.WAV")], DumpSettings.Usual);

        Assert.Equal(["A001C", "A001C", "B001C", "ROPE"], clips.Select(clip => clip.Device.Name));
    }

    [Fact]
    public void WithoutSettings_ACameraHearsScratchAndARecorderALavalier()
    {
        ImmutableArray<Clip> clips = RoleRules.Assign(
            [Movie("CAM_A/1.MP4", channels: 2), Sound("REC/1.WAV"), Sound("REC_boom/1.WAV")], DumpSettings.Usual);

        Assert.Equal([MicRole.Scratch, MicRole.Scratch], clips[0].Mics.Select(mic => mic.Role));
        Assert.Equal([MicRole.Lavalier], clips[1].Mics.Select(mic => mic.Role));
        Assert.Equal([MicRole.Shotgun], clips[2].Mics.Select(mic => mic.Role));
    }

    [Theory]
    [InlineData("CAM_A wide/1.MP4", "wide")]
    [InlineData("Close-up/1.MP4", "close")]
    [InlineData("CAM_A/1.MP4", "CAM_A")]
    public void WithoutSettings_TheAngleIsInTheName(string path, string angle) =>
        Assert.Equal(angle, RoleRules.Assign([Movie(path)], DumpSettings.Usual)[0].Device.Angle);

    [Fact]
    public void TheFirstRuleThatMatches_Decides()
    {
        var settings = new DumpSettings(
        [
            new DeviceRule("CAM_A/**", "A", "wide", [MicRole.Scratch, MicRole.Shotgun], 3.2),
            new DeviceRule("**/*.MP4", "B", "close"),
        ]);

        ImmutableArray<Clip> clips = RoleRules.Assign(
            [Movie("CAM_A/1.MP4", channels: 2), Movie("CAM_B/1.MP4")], settings);

        Assert.Equal(new Device("A", DeviceKind.Camera, "wide", 3.2), clips[0].Device);
        Assert.Equal([MicRole.Scratch, MicRole.Shotgun], clips[0].Mics.Select(mic => mic.Role));
        Assert.Equal(new Device("B", DeviceKind.Camera, "close", null), clips[1].Device);
        Assert.Contains("CAM_A/**", clips[0].RoleReason, StringComparison.Ordinal);
    }

    [Fact]
    public void ARuleThatMatchesNothing_LeavesTheUsual() =>
        Assert.Equal(
            "CAM_A",
            RoleRules.Assign([Movie("CAM_A/1.MP4")], new DumpSettings([new DeviceRule("DRONE/**", "D")]))[0].Device.Name);

    private static MediaInfo Movie(string path, int channels = 1) => Media(path, channels) with
    {
        Video = [new VideoStream(0, "h264", Rate.Fps25, 640, 360, MediaTime.Zero, MediaTime.FromSeconds(10))],
    };

    private static MediaInfo Sound(string path) => Media(path, 1);

    private static MediaInfo Media(string path, int channels) => new(
        new MediaFile(path, "/dump/" + path, 1), "any", MediaTime.Zero, MediaTime.FromSeconds(10), [],
        [new AudioStream(0, "pcm", 48_000, channels, MediaTime.Zero, MediaTime.FromSeconds(10))], null, null, null);
}
