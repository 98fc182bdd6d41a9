using SyncBench.Alignment;
using SyncBench.Tests.Support;
using Xunit.Abstractions;

namespace SyncBench.Tests.Alignment;

/// <summary>
/// Sound of known place and clock, made by formula. Truth here is by construction; the rendered rooms and real codecs
/// are in the end-to-end tests.
/// </summary>
public sealed class AlignerTests(ITestOutputHelper output) : IDisposable
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

        AlignmentResult result = new Aligner(0.999).Align(all, null, CancellationToken.None);

        foreach (ClipOutcome clip in result.Clips)
        {
            output.WriteLine($"{clip.Clip.File.Path} {clip.Outcome} {clip.Reason} {clip.Placement?.Map} {clip.Placement?.Certainty}");
        }

        foreach (DeviceClock clock in result.Clocks)
        {
            output.WriteLine($"{clock.Device.Name} {clock.Ppm} {clock.StandardErrorPpm}");
        }

        Assert.All(result.Clips, clip => Assert.Equal(Outcome.Placed, clip.Outcome));
        AssertPlaced(result, 1, 12.3456, 0.009);
        AssertPlaced(result, 2, 170.001, 0.009);
        AssertPlaced(result, 3, 20.77, 0.006);
        Assert.Equal(RecorderPpm + 12, Ppm(result, "CAM_A"), 0.2);
        Assert.Equal(RecorderPpm - 20, Ppm(result, "CAM_B"), 0.2);
    }

    [Fact]
    public void UnrelatedClips_AreNeverPlaced()
    {
        var all = new List<HeardClip> { Recorder(600) };
        for (int i = 0; i < 60; i++)
        {
            int seconds = 5 * (1 + (i % 12));
            float[] sound = HeardClips.Noise(i, (int)(seconds * Rate), 0.002);
            new AnalyticTalker(1000 + i, seconds + 10).AddTo(sound, Rate, 3, 0, 0, 0.3);
            all.Add(_clips.Add(HeardClips.Camera("CAM_" + i), $"CAM_{i}.MP4", sound));
        }

        var clock = System.Diagnostics.Stopwatch.StartNew();
        AlignmentResult result = new Aligner(0.999).Align(all, null, CancellationToken.None);
        output.WriteLine($"{clock.Elapsed}");
        foreach (ClipOutcome clip in result.Clips.Where(c => c.Outcome != Outcome.SetAside))
        {
            output.WriteLine($"{clip.Clip.File.Path} {clip.Outcome} {clip.Placement?.Certainty} {clip.Placement?.Against}");
        }

        Assert.All(result.Clips, clip => Assert.Equal(Outcome.SetAside, clip.Outcome));
    }

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
