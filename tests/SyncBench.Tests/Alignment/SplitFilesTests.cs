using SyncBench.Alignment;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Alignment;

/// <summary>Recorders and cameras write a long recording into several files, back to back.</summary>
public sealed class SplitFilesTests : IDisposable
{
    private const int Rate = 16_000;

    private readonly HeardClips _clips = new();
    private readonly AnalyticTalker _subject = new(seed: 1, seconds: 400);

    public void Dispose() => _clips.Dispose();

    [Fact]
    public void PartsThatSoundShowsBackToBack_AreOneRecording_ToTheSample()
    {
        float[] sound = CameraSound(200, ppm: 37);
        int cut = (100 * Rate) + 4321;

        AlignmentResult result = Align(Part("1.MP4", sound[..cut]), Part("2.MP4", sound[cut..]));

        Placement first = result.Clips[1].Placement!, second = result.Clips[2].Placement!;
        Assert.Equal(first.Clip.File, second.Continues);
        Assert.Null(first.Continues);
        Assert.Equal(first.Map.ToCommon(first.Clip.Duration), second.Map.ToCommon(MediaTime.Zero));
        Assert.Contains("1.MP4 without a gap", result.Clips[2].Reason, StringComparison.Ordinal);
    }

    /// <summary>12 ms: shorter than a frame, but no device stops and starts again within it by itself.</summary>
    [Theory]
    [InlineData(0.012)]
    [InlineData(0.5)]
    public void ARealGap_StaysAGap(double gap)
    {
        float[] sound = CameraSound(200, ppm: 37);
        int cut = 100 * Rate;

        AlignmentResult result = Align(Part("1.MP4", sound[..cut]), Part("2.MP4", sound[(cut + (int)(gap * Rate))..]));

        Placement first = result.Clips[1].Placement!, second = result.Clips[2].Placement!;
        Assert.Null(second.Continues);
        Assert.Equal(
            gap, (second.Map.ToCommon(MediaTime.Zero) - first.Map.ToCommon(first.Clip.Duration)).ToSeconds(), 0.0003);
    }

    /// <summary>The last file of a recording may hold a second of silence: nothing to hear, yet its place is known.</summary>
    [Fact]
    public void ASilentPart_IsPlacedByItsNeighbour_WhereItsTimeReferenceCountsOn()
    {
        float[] sound = CameraSound(100, ppm: 37);

        AlignmentResult result = Align(
            Part("1.WAV", sound, timeReference: 1_000_000), Part("2.WAV", new float[2 * Rate], 1_000_000 + sound.Length));

        Assert.Equal(Outcome.Placed, result.Clips[2].Outcome);
        Assert.Equal(result.Clips[1].Clip.File, result.Clips[2].Placement!.Continues);
    }

    [Fact]
    public void ASilentPart_WhoseTimeReferenceLeavesAGap_StaysAside()
    {
        float[] sound = CameraSound(100, ppm: 37);

        AlignmentResult result = Align(
            Part("1.WAV", sound, timeReference: 1_000_000), Part("2.WAV", new float[2 * Rate], 1_000_001 + sound.Length));

        Assert.Equal(Outcome.SetAside, result.Clips[2].Outcome);
    }

    /// <summary>A part of five seconds has the rate and the place of the whole recording.</summary>
    [Fact]
    public void AShortPart_IsPlacedAsWellAsTheWhole()
    {
        float[] sound = CameraSound(200, ppm: 80);
        int cut = 195 * Rate;

        AlignmentResult result = Align(Part("1.MP4", sound[..cut]), Part("2.MP4", sound[cut..]));

        Placement second = result.Clips[2].Placement!;
        Assert.NotNull(second.Continues);
        double rate = 1 + (second.Map.Ppm * 1e-6);
        Assert.Equal(80, -second.Map.Ppm, 0.3);
        Assert.Equal(50 - 0.008 + (195 * rate), second.Map.Offset.ToSeconds(), 0.0001);
    }

    private float[] CameraSound(double seconds, double ppm)
    {
        float[] sound = HeardClips.Noise(1, (int)(seconds * Rate), 0.003);
        _subject.AddTo(sound, Rate, 50, ppm, 0.008, gain: 0.3);
        return sound;
    }

    private HeardClip Part(string file, float[] sound, long? timeReference = null)
    {
        HeardClip clip = _clips.Add(HeardClips.Camera("CAM_A"), file, sound);
        return clip with { Clip = clip.Clip with { Media = clip.Clip.Media with { TimeReference = timeReference } } };
    }

    private AlignmentResult Align(params HeardClip[] camera)
    {
        float[] lavalier = HeardClips.Noise(99, 300 * Rate, 0.001);
        _subject.AddTo(lavalier, Rate, 0, 0, 0, gain: 1);
        return new Aligner(0.999).Align(
            [_clips.Add(HeardClips.Recorder("RECORDER"), "R.WAV", lavalier), .. camera], null, CancellationToken.None);
    }
}
