using SyncBench.Alignment;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Alignment;

/// <summary>A device that loses a buffer of sound goes on as if nothing had been: from there on its clip is early.</summary>
public sealed class ClockJumpTests : IDisposable
{
    private const double Rate = 16_000;

    private readonly HeardClips _clips = new();
    private readonly AnalyticTalker _subject = new(seed: 1, seconds: 400);
    private readonly AnalyticTalker _interviewer = new(seed: 2, seconds: 400);

    public void Dispose() => _clips.Dispose();

    [Theory]
    [InlineData(40)]
    [InlineData(5)]
    [InlineData(300)]
    public void LostSoundInTheMiddle_IsFoundWithItsTime_AndBothSidesLieInPlace(int lostMs)
    {
        float[] whole = CameraSound(150, ppm: -20);
        int at = (int)(80 * Rate), lost = (int)(lostMs * Rate / 1000);

        Placement placement = Align([.. whole[..at], .. whole[(at + lost)..]]);

        ClockJump jump = Assert.Single(placement.Map.Jumps);
        Assert.Equal(lostMs, jump.Lost.ToMilliseconds(), 0.1);
        Assert.Equal(80, jump.At.ToSeconds(), 0.3);
        AssertTruth(placement, clipSeconds: 20, wholeSeconds: 20);
        AssertTruth(placement, clipSeconds: 140, wholeSeconds: 140 + (lostMs / 1000.0));
    }

    [Fact]
    public void SoundWrittenTwice_IsAJumpBackwards()
    {
        float[] whole = CameraSound(150, ppm: -20);
        int at = (int)(60 * Rate), twice = (int)(0.02 * Rate);

        Placement placement = Align([.. whole[..at], .. whole[(at - twice)..]]);

        Assert.Equal(-20, Assert.Single(placement.Map.Jumps).Lost.ToMilliseconds(), 0.1);
        AssertTruth(placement, clipSeconds: 140, wholeSeconds: 139.98);
    }

    [Fact]
    public void TwoLosses_AreBothFound()
    {
        float[] whole = CameraSound(200, ppm: 15);
        int first = (int)(60 * Rate), second = (int)(130 * Rate), lost = (int)(0.04 * Rate);

        Placement placement = Align([.. whole[..first], .. whole[(first + lost)..second], .. whole[(second + lost)..]]);

        Assert.Equal([40, 40], placement.Map.Jumps.Select(jump => Math.Round(jump.Lost.ToMilliseconds())));
        AssertTruth(placement, clipSeconds: 100, wholeSeconds: 100.04);
        AssertTruth(placement, clipSeconds: 190, wholeSeconds: 190.08);
    }

    /// <summary>His way to the two mics is another one, 12 ms apart here: that is no jump.</summary>
    [Fact]
    public void AnInterviewerWhoSpeaksLast_IsNoJump()
    {
        float[] lavalier = HeardClips.Noise(99, (int)(300 * Rate), 0.001);
        float[] camera = HeardClips.Noise(1, (int)(150 * Rate), 0.002);
        Until(110, _subject, lavalier, 30, delay: 0.0007, gain: 1, camera, delayThere: 0.0087, gainThere: 0.3);
        After(110, _interviewer, lavalier, 30, delay: 0.0073, gain: 0.1, camera, delayThere: 0.0035, gainThere: 0.3);

        AlignmentResult result = Align(
            _clips.Add(HeardClips.Recorder("RECORDER"), "1.WAV", lavalier),
            _clips.Add(HeardClips.Camera("CAM_A"), "1.MP4", camera));

        Assert.Equal(Outcome.Placed, result.Clips[1].Outcome);
        Assert.Empty(result.Clips[1].Placement!.Map.Jumps);
        Assert.Equal(30 - 0.008, result.Clips[1].Placement!.Map.Offset.ToSeconds(), 0.0001);
    }

    private static void Until(
        double end, AnalyticTalker talker, float[] near, double start, double delay, double gain, float[] far, double delayThere, double gainThere)
    {
        talker.AddTo(near.AsSpan(0, (int)((start + end) * Rate)), Rate, 0, 0, delay, gain);
        talker.AddTo(far.AsSpan(0, (int)(end * Rate)), Rate, start, 0, delayThere, gainThere);
    }

    private static void After(
        double from, AnalyticTalker talker, float[] near, double start, double delay, double gain, float[] far, double delayThere, double gainThere)
    {
        talker.AddTo(near.AsSpan((int)((start + from) * Rate)), Rate, start + from, 0, delay, gain);
        talker.AddTo(far.AsSpan((int)(from * Rate)), Rate, start + from, 0, delayThere, gainThere);
    }

    private float[] CameraSound(double seconds, double ppm)
    {
        float[] sound = HeardClips.Noise(1, (int)(seconds * Rate), 0.003);
        _subject.AddTo(sound, Rate, 50, ppm, 0.008, gain: 0.3);
        return sound;
    }

    private Placement Align(float[] camera)
    {
        float[] lavalier = HeardClips.Noise(99, (int)(300 * Rate), 0.001);
        _subject.AddTo(lavalier, Rate, 0, 0, 0, gain: 1);
        AlignmentResult result = Align(
            _clips.Add(HeardClips.Recorder("RECORDER"), "1.WAV", lavalier),
            _clips.Add(HeardClips.Camera("CAM_A"), "1.MP4", camera));
        Assert.Equal(Outcome.Placed, result.Clips[1].Outcome);
        return result.Clips[1].Placement!;
    }

    private static AlignmentResult Align(params HeardClip[] clips) =>
        new Aligner(0.999).Align(clips, null, CancellationToken.None);

    /// <param name="wholeSeconds">Time since the clip began by its device's clock, had it lost nothing.</param>
    private static void AssertTruth(Placement placement, double clipSeconds, double wholeSeconds)
    {
        double rate = 1 + (placement.Map.Ppm * 1e-6);
        double common = placement.Map.ToCommon(MediaTime.FromSeconds(clipSeconds)).ToSeconds();
        Assert.Equal(50 - 0.008 + (wholeSeconds * rate), common, 0.0002);
    }
}
