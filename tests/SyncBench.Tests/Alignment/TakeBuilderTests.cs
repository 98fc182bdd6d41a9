using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Tests.Alignment;

public class TakeBuilderTests
{
    private static readonly Device CameraA = new("CAM_A", DeviceKind.Camera, "wide", null);
    private static readonly Device CameraB = new("CAM_B", DeviceKind.Camera, "close", null);
    private static readonly Device Recorder = new("RECORDER", DeviceKind.Recorder, null, null);

    [Fact]
    public void WhileACameraAndAnotherDeviceRoll_ItIsATake()
    {
        Take take = Assert.Single(TakeBuilder.Build([Place(Recorder, 0, 100), Place(CameraA, 10, 50)]));

        Assert.Equal((10, 60), Seconds(take));
        Assert.Equal(["RECORDER", "CAM_A"], take.Placements.Select(p => p.Clip.Device.Name));
    }

    [Fact]
    public void WhenBothCamerasStop_TheTakeEnds()
    {
        Take[] takes =
        [
            .. TakeBuilder.Build(
            [
                Place(Recorder, 0, 300), Place(CameraA, 10, 50), Place(CameraB, 12, 60), Place(CameraA, 100, 50),
            ]),
        ];

        Assert.Equal(["take 1", "take 2"], takes.Select(take => take.Name));
        Assert.Equal([(10, 72), (100, 150)], takes.Select(Seconds));
    }

    [Fact]
    public void ACameraThatStartsAgainAtOnce_StaysInTheTake() =>
        Assert.Single(TakeBuilder.Build([Place(Recorder, 0, 300), Place(CameraA, 10, 50), Place(CameraA, 61, 50)]));

    [Fact]
    public void TwoCamerasWithoutARecorder_AreATake() =>
        Assert.Single(TakeBuilder.Build([Place(CameraA, 0, 50), Place(CameraB, 10, 50)]));

    [Fact]
    public void OneDeviceAlone_OrRecordersAlone_AreNone()
    {
        var second = new Device("RECORDER 2", DeviceKind.Recorder, null, null);

        Assert.Empty(TakeBuilder.Build([Place(CameraA, 0, 50)]));
        Assert.Empty(TakeBuilder.Build([Place(Recorder, 0, 50), Place(second, 0, 50)]));
    }

    private static (double Start, double End) Seconds(Take take) =>
        (take.CommonRange.Start.ToSeconds(), take.CommonRange.End.ToSeconds());

    private static Placement Place(Device device, double start, double seconds)
    {
        var file = new MediaFile($"{device.Name}/{start}.MP4", "/x", 1);
        var media = new MediaInfo(
            file, "mov", MediaTime.Zero, MediaTime.FromSeconds(seconds), [], [], null, null, null);
        return new Placement(
            new Clip(media, device, [], "test"), new ClockMap(MediaTime.FromSeconds(start), 0), 0, MediaTime.Zero, 1, null,
            0, [], []);
    }
}
