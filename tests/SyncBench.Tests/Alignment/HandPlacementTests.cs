using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Tests.Alignment;

public class HandPlacementTests
{
    private static readonly Device Recorder = new("REC", DeviceKind.Recorder, null, null);
    private static readonly Device CameraA = new("CAM_A", DeviceKind.Camera, "wide", null);
    private static readonly Device CameraB = new("CAM_B", DeviceKind.Camera, "close", null);

    private static readonly Clip Sound = Made("REC/1.WAV", Recorder, 100), Wide = Made("CAM_A/1.MP4", CameraA, 50);
    private static readonly Clip Close = Made("CAM_B/1.MP4", CameraB, 20), Second = Made("CAM_B/2.MP4", CameraB, 20);

    [Fact]
    public void AClipLiesAtItsOffset_AtTheRateOfItsDevice()
    {
        AlignmentResult result = Apply(new PlacedByHand("CAM_B/1.MP4", "REC/1.WAV", 12.5));

        ClipOutcome placed = Of(result, Close);
        Assert.Equal(Outcome.Placed, placed.Outcome);
        Assert.Equal("placed by hand: CAM_B/1.MP4 begins 12.5 s after REC/1.WAV", placed.Reason);
        Assert.Equal((12.5, 31.0, double.NaN), (placed.Placement!.Map.Offset.ToSeconds(), placed.Placement.Map.Ppm, placed.Placement.Certainty));
        Assert.Equal((0, Recorder), (placed.Placement.Group, placed.Placement.Against));
    }

    [Fact]
    public void TheEarliestClipIsZero_ThoughPlacedByHand()
    {
        AlignmentResult result = Apply(new PlacedByHand("CAM_B/1.MP4", "REC/1.WAV", -4), new PlacedByHand("CAM_B/2.MP4", "CAM_B/1.MP4", 30));

        Assert.Equal([4, 9, 0, 30], Starts(result, Sound, Wide, Close, Second));
    }

    [Fact]
    public void PairsThatHangOnNoPlacedClip_AreAConversationAfterTheOthers()
    {
        AlignmentResult result = Apply(new PlacedByHand("CAM_B/1.MP4", "CAM_B/2.MP4", -25));

        Assert.Equal([0, 5, 110, 135], Starts(result, Sound, Wide, Close, Second)); // the recorder ends at 100, and a gap of ten seconds follows
        Assert.Equal([1, 1], new[] { Close, Second }.Select(clip => Of(result, clip).Placement!.Group));
    }

    [Fact]
    public void WhatWouldOverlapItOfTheSameDevice_IsLeftToTheEar_AndTwoByHandAreRefused()
    {
        AlignmentResult result = HandPlacement.Apply(
            BySound([Sound, Wide, Close]), [Sound, Wide, Close, Second], [new PlacedByHand("CAM_B/2.MP4", "REC/1.WAV", 40)]);
        Assert.Equal(Outcome.CheckByEar, Of(result, Close).Outcome);
        Assert.Contains("CAM_B/2.MP4", Of(result, Close).Reason, StringComparison.Ordinal);

        SettingsException wrong = Assert.Throws<SettingsException>(() => Apply(
            new PlacedByHand("CAM_B/1.MP4", "REC/1.WAV", 40), new PlacedByHand("CAM_B/2.MP4", "REC/1.WAV", 50)));
        Assert.Contains("would overlap", wrong.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void WhatIsNoRecording_CannotBePlaced() =>
        Assert.Throws<SettingsException>(() => Apply(new PlacedByHand("notes.txt", "REC/1.WAV", 1)));

    /// <summary>The recorder and camera A by sound; camera B's clips match nothing.</summary>
    private static AlignmentResult Apply(params PlacedByHand[] pairs) =>
        HandPlacement.Apply(BySound([Sound, Wide]), [Sound, Wide, Close, Second], [.. pairs]);

    /// <summary>One after the other by five seconds, camera B's beyond a minute.</summary>
    private static AlignmentResult BySound(Clip[] placed) => new(
        [
            .. placed.Select((clip, i) => new ClipOutcome(clip, Outcome.Placed, new Placement(
                clip, new ClockMap(MediaTime.FromSeconds(clip == Close ? 45 : 5 * i), 0), 0.1, MediaTime.Zero, 1, null, 0, [], []), "sound")),
        ],
        [new DeviceClock(Recorder, 0, 0, IsReference: true), new DeviceClock(CameraB, 31, 0.2, IsReference: false)]);

    private static ClipOutcome Of(AlignmentResult result, Clip clip) => Assert.Single(result.Clips, outcome => outcome.Clip == clip);

    private static double[] Starts(AlignmentResult result, params Clip[] clips) =>
        [.. clips.Select(clip => Math.Round(Of(result, clip).Placement!.Map.Offset.ToSeconds(), 2))];

    private static Clip Made(string path, Device device, double seconds) => new(
        new MediaInfo(
            new MediaFile(path, "/dump/" + path, 1), "any", MediaTime.Zero, MediaTime.FromSeconds(seconds), [],
            [new AudioStream(0, "pcm", 48_000, 1, MediaTime.Zero, MediaTime.FromSeconds(seconds))], null, null, null),
        device, [new MicChannel(0, MicRole.Lavalier)], "test");
}
