using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Alignment;

/// <summary>What timecode adds to sound: sound of known place, labels that are right, off, or lies.</summary>
public sealed class TimecodeEvidenceTests : IDisposable
{
    private const double Rate = 16_000;
    private const double Ten = 36_000; // 10:00:00:00 at the recorder's first sample

    private readonly HeardClips _clips = new();
    private readonly AnalyticTalker _subject = new(seed: 1, seconds: 400);

    public void Dispose() => _clips.Dispose();

    [Fact]
    public void TimecodeThatAgrees_AndOneThreeFramesLate_AreTold()
    {
        AlignmentResult result = Align(
        [
            Recorder(), Camera("CAM_A", 1, start: 20, seconds: 30, Ten + 20), Camera("CAM_A", 2, start: 60, seconds: 30, Ten + 60.12),
        ]);

        Assert.All(result.Clips, clip => Assert.Equal(Outcome.Placed, clip.Outcome));
        Assert.Null(result.Clips[0].Timecode);
        Assert.True(result.Clips[1].Timecode!.Agrees);
        TimecodeCheck check = result.Clips[2].Timecode!;
        Assert.False(check.Agrees);
        Assert.Equal(("10:01:00:03", "10:01:00:00"), (check.Label, check.LabelBySound));
        Assert.Equal(0.12, check.Off.ToSeconds(), 0.001);
        Assert.Equal(
            "10:01:00:03 by its timecode track, 10:01:00:00 by sound and RECORDER's broadcast wave time reference: 3.0 frames late",
            check.InWords());
    }

    [Theory]
    [InlineData(0.019, true)]
    [InlineData(0.021, false)]
    [InlineData(-0.019, true)]
    [InlineData(-0.021, false)]
    public void HalfAFrame_IsTheLimit(double off, bool agrees) => Assert.Equal(
        agrees, Align([Recorder(), Camera("CAM_A", 1, start: 20, seconds: 30, Ten + 20 + off)]).Clips[1].Timecode!.Agrees);

    [Fact]
    public void ADeviceThatWasNeverSet_IsOffByOneConstant()
    {
        AlignmentResult result = Align(
        [
            Recorder(), Camera("CAM_A", 1, start: 20, seconds: 30, Ten + 20 - 730.2), Camera("CAM_A", 2, start: 60, seconds: 30, Ten + 60 - 730.2),
            Camera("CAM_A", 3, start: 100, seconds: 30, Ten + 100 - 730),
        ]);

        Assert.Equal(-730.2, result.Clocks.Single(clock => clock.Device.Name == "CAM_A").Timecode!.Off.ToSeconds(), 0.001);
        Assert.Equal([true, true, false], result.Clips[1..].Select(clip => clip.Timecode!.Agrees));
        Assert.EndsWith("5.0 frames late", result.Clips[3].Timecode!.InWords(), StringComparison.Ordinal);
    }

    [Fact]
    public void WithoutTimecodeOnBothSides_NothingIsSaid() => Assert.All(
        Align([Recorder() with { Timecode = null }, Camera("CAM_A", 1, start: 20, seconds: 30, Ten + 20)]).Clips,
        clip => Assert.Null(clip.Timecode));

    [Fact]
    public void AClipWithoutCommonSound_IsGuessedFromItsTimecode_NeverPlaced()
    {
        AlignmentResult result = Align([Recorder(), Noise("CAM_A", Ten + 50), Noise("CAM_B", Ten + 5000), Noise("CAM_C", null)]);

        Assert.Equal(
            [Outcome.CheckByEar, Outcome.CheckByEar, Outcome.SetAside, Outcome.SetAside], result.Clips.Select(clip => clip.Outcome));
        Assert.Equal(50, result.Clips[1].Placement!.Map.Offset.ToSeconds(), 1e-6);
        Assert.Contains("timecode track", result.Clips[1].Reason, StringComparison.Ordinal);
        Assert.True(double.IsNaN(result.Clips[1].Placement!.Certainty));
    }

    [Fact]
    public void WhereADevicesTimecodeWasFoundWrong_NothingIsGuessedFromIt()
    {
        AlignmentResult result = Align(
            [Recorder(), Camera("CAM_A", 1, start: 20, seconds: 30, Ten + 20.4), Noise("CAM_A", Ten + 100)]);

        Assert.False(result.Clips[1].Timecode!.Agrees);
        Assert.Equal(Outcome.SetAside, result.Clips[2].Outcome);
    }

    [Fact]
    public void ADevicesConstant_IsTakenOffTheGuess()
    {
        AlignmentResult result = Align(
        [
            Recorder(), Camera("CAM_A", 1, start: 20, seconds: 30, 20), Camera("CAM_A", 2, start: 60, seconds: 30, 60),
            Noise("CAM_A", 120),
        ]);

        Assert.Equal(Outcome.CheckByEar, result.Clips[3].Outcome);
        Assert.Equal(120, result.Clips[3].Placement!.Map.Offset.ToSeconds(), 0.001);
    }

    /// <summary>Timecode that names a wrong place makes nothing of unrelated sound.</summary>
    [Fact]
    public void UnrelatedClips_WithTimecodeInsideTheRecorder_AreNeverPlaced()
    {
        var all = new List<HeardClip> { Recorder() };
        for (int i = 0; i < 20; i++)
        {
            int seconds = 5 * (1 + (i % 6));
            float[] sound = HeardClips.Noise(i, (int)(seconds * Rate), 0.002);
            new AnalyticTalker(1000 + i, seconds + 10).AddTo(sound, Rate, 3, 0, 0, 0.3);
            all.Add(_clips.Add(HeardClips.Camera("CAM_" + i), $"CAM_{i}.MP4", sound) with { Timecode = Track(Ten + (5 * i)) });
        }

        AlignmentResult result = Align(all);

        Assert.All(result.Clips, clip => Assert.NotEqual(Outcome.Placed, clip.Outcome));
    }

    /// <summary>Clips of 2.5 s deep in noise: where timecode says where to look, more of them are found.</summary>
    [Fact]
    public void WhereTimecodeNamesThePlace_MoreShortAndNoisyClipsAreFound()
    {
        HeardClip[] all = [Recorder(), .. Enumerable.Range(0, 24).Select(Hard)];

        AssertMoreAreFound(all, [.. all.Select(clip => clip with { Timecode = null })], easy: 0);
    }

    /// <summary>The same for a device that was never set, once two of its clips have told how far it is off.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void WhereADevicesClockIsLearned_MoreShortAndNoisyClipsAreFound(bool byFileTime)
    {
        HeardClip[] easy = [Camera("CAM_A", 91, start: 20, seconds: 30, 20), Camera("CAM_A", 92, start: 60, seconds: 30, 60)];
        HeardClip[] all =
        [
            Recorder(), .. easy, .. Enumerable.Range(0, 24).Select(i => Hard(i) with { Timecode = Track(HardStart(i)) }),
        ];
        double[] starts = [0, 20, 60, .. Enumerable.Range(0, 24).Select(HardStart)];

        AssertMoreAreFound(
            byFileTime ? [.. all.Select((clip, i) => OnlyFileTime(clip, starts[i]))] : all,
            [.. all.Select(clip => clip with { Timecode = null })], easy.Length);
    }

    /// <summary>A tenth of the lags makes the same line e^2.3 times less likely to be chance: ln(4001 / 401) = 2.30.</summary>
    [Fact]
    public void ANarrowSearch_PaysForFewerLags()
    {
        ClipTracks reference = ClipTracks.Of(Recorder()), query = ClipTracks.Of(Camera("CAM_A", 1, start: 20, seconds: 30, 0));
        var pair = new SoundPair(reference.Clearest, query.Clearest);
        var search = new LineSearch();

        FoundLine wide = search.Find(pair, 20.01)!.Value, narrow = search.Find(pair, 20.01, 0.05)!.Value;

        Assert.Equal(wide.Line, narrow.Line);
        Assert.Equal(Math.Log(4001 / 401.0), wide.LogChance - narrow.LogChance, 1e-6);
    }

    [Fact]
    public void AChannelThatCarriesTimecode_IsNeverAskedForSound()
    {
        LtcFixture ltc = LtcFixture.Read("25_long");
        float[] fed = [.. Enumerable.Range(0, (int)(5.9 * Rate)).Select(i => ltc.Samples[3 * i])];
        float[] heard = HeardClips.Noise(1, fed.Length, 0.002);
        _subject.AddTo(heard, Rate, 20, 0, 0.005, 0.3);
        HeardClip camera = _clips.Add(HeardClips.Camera("CAM_A"), "1.MOV", fed, heard);
        camera = camera with { Clip = camera.Clip with { Mics = [new(0, MicRole.Timecode), new(1, MicRole.Scratch)] } };
        HeardClip onlyTimecode = _clips.Add(HeardClips.Camera("CAM_B"), "2.MOV", fed);
        onlyTimecode = onlyTimecode with { Clip = onlyTimecode.Clip with { Mics = [new(0, MicRole.Timecode)] } };

        AlignmentResult result = Align([Recorder(), camera, onlyTimecode]);

        Assert.Equal([Outcome.Placed, Outcome.Placed, Outcome.SetAside], result.Clips.Select(clip => clip.Outcome));
        Assert.Equal([1], result.Clips[1].Placement!.MicDelays.Select(delay => delay.Mic.Channel));
    }

    private static void AssertMoreAreFound(HeardClip[] withClock, HeardClip[] without, int easy)
    {
        AlignmentResult found = Align(withClock);

        Assert.True(Placed(found) >= Placed(Align(without)) + 3);
        Assert.All(
            Enumerable.Range(easy + 1, withClock.Length - easy - 1).Where(clip => found.Clips[clip].Outcome == Outcome.Placed),
            clip => Assert.Equal(HardStart(clip - easy - 1), found.Clips[clip].Placement!.Map.Offset.ToSeconds(), 0.001));
    }

    private static int Placed(AlignmentResult result) => result.Clips.Count(clip => clip.Outcome == Outcome.Placed);

    private static AlignmentResult Align(IReadOnlyList<HeardClip> clips) =>
        new Aligner(0.999).Align(clips, null, CancellationToken.None);

    private static StartClock Track(double seconds) =>
        new(TimecodeSource.Track, null, MediaTime.FromSeconds(seconds), SyncBench.Time.Rate.Fps25, false);

    private HeardClip Recorder()
    {
        float[] sound = HeardClips.Noise(99, (int)(300 * Rate), 0.001);
        _subject.AddTo(sound, Rate, start: 0, 0, delay: 0, gain: 1);
        return _clips.Add(HeardClips.Recorder("RECORDER"), "RECORDER/1.WAV", sound) with
        {
            Timecode = new StartClock(TimecodeSource.BroadcastWave, null, MediaTime.FromSeconds(Ten), null, false),
        };
    }

    private HeardClip Camera(string device, int seed, double start, double seconds, double timecode, double noise = 0.003)
    {
        float[] sound = HeardClips.Noise(seed, (int)(seconds * Rate), noise);
        _subject.AddTo(sound, Rate, start, 0, delay: 0, gain: 0.3);
        return _clips.Add(HeardClips.Camera(device), $"{device}/{seed}.MP4", sound) with { Timecode = Track(timecode) };
    }

    private HeardClip Hard(int i) => Camera("CAM_A", i, HardStart(i), seconds: 2.5, Ten + HardStart(i), noise: 0.2);

    private static double HardStart(int i) => 100 + (7 * i);

    private HeardClip Noise(string device, double? timecode)
    {
        float[] sound = HeardClips.Noise(device[^1], (int)(20 * Rate), 0.002);
        new AnalyticTalker(device[^1], 40).AddTo(sound, Rate, 3, 0, 0, 0.3);
        return _clips.Add(HeardClips.Camera(device), $"{device}/noise.MP4", sound) with
        {
            Timecode = timecode is { } at ? Track(at) : null,
        };
    }

    private static HeardClip OnlyFileTime(HeardClip clip, double start) => clip with
    {
        Timecode = null,
        Clip = clip.Clip with
        {
            Media = clip.Clip.Media with
            {
                CreatedAt = new DateTimeOffset(2026, 11, 25, clip.Clip.Device.Name == "RECORDER" ? 9 : 11, 0, 0, TimeSpan.Zero)
                    .AddSeconds(Math.Floor(start)),
            },
        },
    };
}
