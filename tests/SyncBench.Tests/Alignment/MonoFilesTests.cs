using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Alignment;

/// <summary>A recorder that writes a file for each mic began them at one sample, by one crystal.</summary>
public sealed class MonoFilesTests : IDisposable
{
    private const int Rate = 16_000;
    private const double ShotgunLate = 0.0013, CameraLate = 0.008;

    private readonly HeardClips _clips = new();
    private readonly AlignmentResult _result;

    public MonoFilesTests()
    {
        var subject = new AnalyticTalker(seed: 1, seconds: 120);
        float[] Heard(int seed, double noise, double start, double ppm, double late, double gain, double seconds)
        {
            float[] sound = HeardClips.Noise(seed, (int)(seconds * Rate), noise);
            subject.AddTo(sound, Rate, start, ppm, late, gain);
            return sound;
        }

        _result = new Aligner(0.999).Align(
            [
                Track(1, MicRole.Lavalier, Heard(1, 0.001, 0, 0, 0, 1, 100)),
                Track(2, MicRole.Shotgun, Heard(2, 0.003, 0, 0, ShotgunLate, 0.3, 100)),
                Track(3, MicRole.Lavalier, new float[100 * Rate]),
                _clips.Add(HeardClips.Camera("CAM_A"), "1.MP4", Heard(3, 0.003, 20, 37, CameraLate, 0.3, 60)),
            ],
            null, CancellationToken.None);
    }

    public void Dispose() => _clips.Dispose();

    [Fact]
    public void TheyLieTogether_ToTheSample()
    {
        ClockMap[] maps = [.. _result.Clips[..3].Select(clip => clip.Placement!.Map)];

        Assert.Equal(maps[0], maps[1]);
        Assert.Equal(maps[0], maps[2]);
    }

    [Fact]
    public void WhatSoundSaysApart_IsHowFarTheirMicsStoodApart()
    {
        MicDelay delay = Assert.Single(_result.Clips[1].Placement!.MicDelays);

        Assert.True(delay.Measured);
        Assert.Equal(ShotgunLate, delay.Delay.ToSeconds(), 0.00002);
    }

    [Fact]
    public void ASilentOne_IsPlacedBesideTheOthers_AndSaysSo()
    {
        Assert.Equal(Outcome.Placed, _result.Clips[2].Outcome);
        Assert.Equal("recorded together with SALT_1.WAV", _result.Clips[2].Reason);
    }

    [Fact]
    public void TheCamera_LiesAsAgainstOneRecording() =>
        Assert.Equal(20 - CameraLate, (_result.Clips[3].Placement!.Map.Offset - _result.Clips[0].Placement!.Map.Offset).ToSeconds(), 0.0001);

    private HeardClip Track(int number, MicRole role, float[] sound)
    {
        HeardClip clip = _clips.Add(HeardClips.Recorder($"RECORDER track {number}"), $"SALT_{number}.WAV", sound);
        return clip with { Clip = clip.Clip with { MonoSet = "SALT", Mics = [new MicChannel(0, role)] } };
    }
}
