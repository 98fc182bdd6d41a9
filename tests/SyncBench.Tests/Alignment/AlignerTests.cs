using SyncBench.Alignment;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Alignment;

/// <summary>
/// Sound of known place and clock, made by formula. Truth here is by construction; the rendered rooms and real codecs
/// are in the end-to-end tests.
/// </summary>
public sealed class AlignerTests : IDisposable
{
    private const double Rate = 16_000;
    private const double RecorderPpm = 45;

    private readonly HeardClips _clips = new();
    private readonly AnalyticTalker _subject = new(seed: 1, seconds: 700);

    public void Dispose() => _clips.Dispose();

    [Theory]
    [InlineData(0.002)]
    [InlineData(0.02)]
    public void ClipsOfTwoCameras_LieWhereTheyWereMade(double noise)
    {
        HeardClip recorder = Recorder(500);
        HeardClip[] all =
        [
            recorder,
            Camera("CAM_A", 1, start: 12.3456, seconds: 150, ppm: -12, delay: 0.009, noise),
            Camera("CAM_A", 2, start: 170.001, seconds: 200, ppm: -12, delay: 0.009, noise),
            Camera("CAM_B", 3, start: 20.77, seconds: 300, ppm: 20, delay: 0.006, noise),
        ];

        AlignmentResult result = Align(all);

        Assert.All(result.Clips, clip => Assert.Equal(Outcome.Placed, clip.Outcome));
        AssertPlaced(result, 1, 12.3456, 0.009);
        AssertPlaced(result, 2, 170.001, 0.009);
        AssertPlaced(result, 3, 20.77, 0.006);
        Assert.Equal(RecorderPpm + 12, Ppm(result, "CAM_A"), 0.2);
        Assert.Equal(RecorderPpm - 20, Ppm(result, "CAM_B"), 0.2);
    }

    /// <summary>Each camera with the recorder and with each other camera.</summary>
    [Fact]
    public void AThousandUnrelatedPairs_AreNeverPlaced()
    {
        const int cameras = 45;
        var all = new List<HeardClip> { Recorder(600) };
        for (int i = 0; i < cameras; i++)
        {
            int seconds = 5 * (1 + (i % 8));
            float[] sound = HeardClips.Noise(i, (int)(seconds * Rate), 0.002);
            new AnalyticTalker(1000 + i, seconds + 10).AddTo(sound, Rate, 3, 0, 0, 0.3);
            all.Add(_clips.Add(HeardClips.Camera("CAM_" + i), $"CAM_{i}.MP4", sound));
        }

        AlignmentResult result = Align(all);

        Assert.InRange(all.Count * (all.Count - 1) / 2, 1000, int.MaxValue);
        Assert.All(result.Clips, clip => Assert.Equal(Outcome.SetAside, clip.Outcome));
    }

    /// <summary>The interviewer is heard with another lag, 12 ms away; the subject's voice alone places the clip.</summary>
    [Fact]
    public void ASecondTalkerElsewhere_MovesNothing()
    {
        var interviewer = new AnalyticTalker(seed: 2, seconds: 300);
        float[] lavalier = HeardClips.Noise(99, (int)(300 * Rate), 0.001);
        float[] camera = HeardClips.Noise(1, (int)(200 * Rate), 0.003);
        _subject.AddTo(lavalier, Rate, 0, 0, delay: 0.0007, gain: 1);
        interviewer.AddTo(lavalier, Rate, 0, 0, delay: 0.0069, gain: 0.08);
        _subject.AddTo(camera, Rate, 30.5, 0, delay: 0.0093, gain: 0.2);
        interviewer.AddTo(camera, Rate, 30.5, 0, delay: 0.0035, gain: 0.3);

        AlignmentResult result = Align(
        [
            _clips.Add(HeardClips.Recorder("RECORDER"), "1.WAV", lavalier), _clips.Add(HeardClips.Camera("CAM_A"), "1.MP4", camera),
        ]);

        Assert.Equal(30.5 - 0.0093 + 0.0007, result.Clips[1].Placement!.Map.Offset.ToSeconds(), 0.00005);
    }

    [Fact]
    public void TheDelayOfASecondChannel_IsMeasured()
    {
        HeardClip recorder = Recorder(200);
        float[] scratch = HeardClips.Noise(1, (int)(100 * Rate), 0.002);
        float[] shotgun = HeardClips.Noise(2, (int)(100 * Rate), 0.002);
        _subject.AddTo(scratch, Rate, 20, 0, delay: 0.009, gain: 0.2);
        _subject.AddTo(shotgun, Rate, 20, 0, delay: 0.003, gain: 0.4);

        AlignmentResult result = Align([recorder, _clips.Add(HeardClips.Camera("CAM_A"), "1.MP4", scratch, shotgun)]);

        MicDelay delay = result.Clips[1].Placement!.MicDelays[1];
        Assert.True(delay.Measured);
        Assert.Equal(-0.006, delay.Delay.ToSeconds(), 0.00005);
    }

    [Fact]
    public void TwoCamerasWithoutARecorder_AreAlignedToEachOther()
    {
        AlignmentResult result = Align(
        [
            Camera("CAM_A", 1, start: 10, seconds: 200, ppm: 0, delay: 0.005, noise: 0.002),
            Camera("CAM_B", 2, start: 40.25, seconds: 120, ppm: 30, delay: 0.005, noise: 0.002),
        ]);

        Assert.Equal(30.25, result.Clips[1].Placement!.Map.Offset.ToSeconds(), 0.00005);
        Assert.Equal(-30, Ppm(result, "CAM_B"), 0.2);
    }

    [Fact]
    public void SilentClips_AreSetAside_AndTheOthersPlaced()
    {
        AlignmentResult result = Align(
        [
            Recorder(100), _clips.Add(HeardClips.Camera("CAM_A"), "silent.MP4", new float[(int)(20 * Rate)]),
            Camera("CAM_B", 2, start: 40.25, seconds: 30, ppm: 0, delay: 0.005, noise: 0.002),
        ]);

        Assert.Equal([Outcome.Placed, Outcome.SetAside, Outcome.Placed], result.Clips.Select(clip => clip.Outcome));
        Assert.Contains("silent", result.Clips[1].Reason, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(false)] // in order of path, where nothing else is known
    [InlineData(true)] // in order of timecode
    public void TwoConversations_AreTwoGroups_OneAfterTheOther(bool secondIsEarlier)
    {
        var others = new AnalyticTalker(seed: 3, seconds: 200);
        float[] second = HeardClips.Noise(5, (int)(100 * Rate), 0.001), third = HeardClips.Noise(6, (int)(60 * Rate), 0.002);
        others.AddTo(second, Rate, 0, 0, 0, 1);
        others.AddTo(third, Rate, 20, 0, 0.004, 0.3);

        StartClock? At(double hours) => secondIsEarlier
            ? new StartClock(TimecodeSource.BroadcastWave, null, MediaTime.FromSeconds(3600 * hours), null, false)
            : null;

        AlignmentResult result = Align(
        [
            Recorder(150) with { Timecode = At(15) }, Camera("CAM_A", 1, start: 10, seconds: 100, ppm: 0, delay: 0.005, noise: 0.002),
            _clips.Add(HeardClips.Recorder("RECORDER 2"), "2.WAV", second) with { Timecode = At(9) }, _clips.Add(HeardClips.Camera("CAM_B"), "2.MP4", third),
        ]);

        Assert.All(result.Clips, clip => Assert.Equal(Outcome.Placed, clip.Outcome));
        Placement[] placed = [.. result.Clips.Select(clip => clip.Placement!)];
        Assert.Equal(placed[0].Group, placed[1].Group);
        Assert.Equal(placed[2].Group, placed[3].Group);
        Assert.NotEqual(placed[0].Group, placed[2].Group);
        (int first, int last) = secondIsEarlier ? (2, 0) : (0, 2);
        Assert.True(placed[last].CommonRange.Start > placed[first].CommonRange.End);
        Assert.Equal(19.996, (placed[3].Map.Offset - placed[2].Map.Offset).ToSeconds(), 0.00005);
    }

    [Theory]
    [InlineData(2)]
    [InlineData(5)]
    [InlineData(10)]
    public void AShortClip_IsPlacedToo(int seconds)
    {
        AlignmentResult result = Align([Recorder(300), Camera("CAM_A", 1, 123.4, seconds, 0, 0.005, 0.005)]);

        // Too short to tell its clock's rate, so what is known best is its middle.
        Assert.Equal(Outcome.Placed, result.Clips[1].Outcome);
        double middle = result.Clips[1].Placement!.Map.ToCommon(MediaTime.FromSeconds(seconds / 2.0)).ToSeconds();
        Assert.Equal((123.4 - 0.005 + (seconds / 2.0)) * (1 + (RecorderPpm * 1e-6)), middle, 0.00005);
    }

    /// <summary>The picture is where the camera is: with the distance given, it is moved back by the way of the sound.</summary>
    [Fact]
    public void ADistance_MovesTheCameraBack_AndItsMicsLater()
    {
        HeardClip camera = Camera("CAM_A", 1, start: 20, seconds: 60, ppm: 0, delay: 0.01, noise: 0.002);
        var far = camera with
        {
            Clip = camera.Clip with { Device = camera.Clip.Device with { DistanceMetres = 3.432 } },
        };

        AlignmentResult result = Align([Recorder(100), far]);

        AssertPlaced(result, 1, 20 + 0.01, 0.01);
        Assert.Equal(0.01, result.Clips[1].Placement!.MicDelays[0].Delay.ToSeconds(), 1e-6);
    }

    private static AlignmentResult Align(IReadOnlyList<HeardClip> clips) =>
        new Aligner(0.999).Align(clips, null, CancellationToken.None);

    private static double Ppm(AlignmentResult result, string device) =>
        result.Clocks.Single(clock => clock.Device.Name == device).Ppm;

    /// <summary>The camera hears later than the lavalier, so by sound alone it seems to start that much earlier.</summary>
    private static void AssertPlaced(AlignmentResult result, int clip, double start, double delay)
    {
        double expected = (start - delay) * (1 + (RecorderPpm * 1e-6));
        Assert.Equal(expected, result.Clips[clip].Placement!.Map.Offset.ToSeconds(), 0.00005);
    }

    private HeardClip Recorder(double seconds)
    {
        float[] sound = HeardClips.Noise(99, (int)(seconds * Rate), 0.001);
        _subject.AddTo(sound, Rate, start: 0, RecorderPpm, delay: 0, gain: 1);
        return _clips.Add(HeardClips.Recorder("RECORDER"), "RECORDER/1.WAV", sound);
    }

    private HeardClip Camera(string device, int seed, double start, double seconds, double ppm, double delay, double noise)
    {
        float[] sound = HeardClips.Noise(seed, (int)(seconds * Rate), noise);
        _subject.AddTo(sound, Rate, start, ppm, delay, gain: 0.3);
        return _clips.Add(HeardClips.Camera(device), $"{device}/{seed}.MP4", sound);
    }
}
