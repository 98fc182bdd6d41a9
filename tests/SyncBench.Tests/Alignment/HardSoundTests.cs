using SyncBench.Alignment;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Alignment;

/// <summary>Sound that tempts: what repeats, what runs through everything, what is sharp but says nothing.</summary>
public sealed class HardSoundTests : IDisposable
{
    private const int Rate = 16_000;
    private const double Travel = 0.008;

    private readonly HeardClips _clips = new();
    private readonly AnalyticTalker _subject = new(seed: 1, seconds: 2500);

    public void Dispose() => _clips.Dispose();

    [Fact]
    public void SixteenShortClipsOfACamera_AllLieInARecorderThatRanFortyMinutes()
    {
        double[] starts = [.. Enumerable.Range(0, 16).Select(i => 20 + (i * 145.1234))];
        HeardClip[] clips = [.. starts.Select((start, i) => Camera($"{i:00}.MP4", start, 8 + (i % 4 * 4)))];

        AlignmentResult result = Align([Recorder("R.WAV", 0, 2400), .. clips]);

        // Clips too short for a rate of their own have that of their device, pooled over all of them.
        Assert.All(starts.Zip(result.Clips.Skip(1)), pair => AssertMiddle(pair.First, pair.Second));
        Assert.Equal(-30, result.Clips[1].Placement!.Map.Ppm, 1.0);
    }

    [Fact]
    public void ARecorderThatWasStoppedAndStarted_LiesInACameraThatRanThrough()
    {
        HeardClip[] recorder = [Recorder("1.WAV", 30, 120), Recorder("2.WAV", 180.5, 90), Recorder("3.WAV", 300.25, 60)];

        AlignmentResult result = Align([Camera("1.MP4", 0, 400), .. recorder]);

        Placement camera = result.Clips[0].Placement!;
        Assert.Equal([30, 180.5, 300.25], result.Clips.Skip(1).Select(clip =>
            Math.Round((camera.Map.ToClip(clip.Placement!.Map.ToCommon(MediaTime.Zero)).ToSeconds() - Travel) * (1 - 30e-6), 3)));
    }

    [Fact]
    public void TwoRecordersAndACamera_ShareOneClock()
    {
        float[] second = HeardClips.Noise(8, 250 * Rate, 0.001);
        _subject.AddTo(second, Rate, 20, ppm: 25, delay: 0.003, gain: 0.4);

        AlignmentResult result = Align(
        [
            Recorder("1.WAV", 0, 300), _clips.Add(HeardClips.Recorder("RECORDER 2"), "2.WAV", second), Camera("1.MP4", 50, 200),
        ]);

        Assert.All(result.Clips, clip => Assert.Equal(Outcome.Placed, clip.Outcome));
        Assert.Equal(20 - 0.003, result.Clips[1].Placement!.Map.Offset.ToSeconds(), 0.0001);
        AssertMiddle(50, result.Clips[2]);
    }

    /// <summary>Word for word and breath for breath alike, which no talker manages: only what lies between tells them apart.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    public void OfASentenceReadThreeTimes_TheRightOneIsFound(int take)
    {
        var sentence = new AnalyticTalker(seed: 5, seconds: 6);
        float[] lavalier = HeardClips.Noise(99, 120 * Rate, 0.001), camera = HeardClips.Noise(1, 30 * Rate, 0.003);
        _subject.AddTo(lavalier, Rate, 1000, 0, 0, gain: 0.5);
        double start = 5 + (35.3 * take);
        _subject.AddTo(camera, Rate, 1000 + start, ppm: 30, Travel, gain: 0.15);
        for (int reading = 0; reading < 3; reading++)
        {
            double at = 15 + (35.3 * reading);
            sentence.AddTo(lavalier, Rate, -at, 0, 0, gain: 1);
            sentence.AddTo(camera, Rate, start - at, ppm: 30, Travel, gain: 0.3);
        }

        AlignmentResult result = Align(
            [_clips.Add(HeardClips.Recorder("RECORDER"), "1.WAV", lavalier), _clips.Add(HeardClips.Camera("CAM_A"), "1.MP4", camera)]);

        AssertMiddle(start, result.Clips[1]);
    }

    /// <summary>A bar of two seconds, over and over, as loud as the voice: at every bar the loop agrees with itself.</summary>
    [Theory]
    [InlineData(0.1)]
    [InlineData(0.3)]
    public void AMusicLoopThroughEverything_MovesNothing(double gain)
    {
        AlignmentResult result = Align([Recorder("1.WAV", 0, 200, Loop(gain)), Camera("1.MP4", 60.4, 60, Loop(gain))]);

        AssertMiddle(60.4, result.Clips[1]);
    }

    [Fact]
    public void AMusicLoopAlone_PlacesNothingSilently()
    {
        float[] recorder = HeardClips.Noise(99, 120 * Rate, 0.001), camera = HeardClips.Noise(1, 30 * Rate, 0.003);
        Loop(0.3)(recorder, 0, 0);
        Loop(0.3)(camera, 40.4, Travel);

        AlignmentResult result = Align(
            [_clips.Add(HeardClips.Recorder("RECORDER"), "1.WAV", recorder), _clips.Add(HeardClips.Camera("CAM_A"), "1.MP4", camera)]);

        Assert.NotEqual(Outcome.Placed, result.Clips[1].Outcome);
    }

    [Fact]
    public void AMachinesHumThroughEverything_MovesNothing()
    {
        AlignmentResult result = Align([Recorder("1.WAV", 0, 200, Hum), Camera("1.MP4", 60.4, 60, Hum)]);

        AssertMiddle(60.4, result.Clips[1]);
    }

    [Fact]
    public void AHumAlone_PlacesNothing()
    {
        float[] recorder = HeardClips.Noise(99, 120 * Rate, 0.001), camera = HeardClips.Noise(1, 30 * Rate, 0.003);
        Hum(recorder, 0, 0);
        Hum(camera, 40.4, Travel);

        AlignmentResult result = Align(
            [_clips.Add(HeardClips.Recorder("RECORDER"), "1.WAV", recorder), _clips.Add(HeardClips.Camera("CAM_A"), "1.MP4", camera)]);

        Assert.Equal(Outcome.SetAside, result.Clips[1].Outcome);
    }

    /// <summary>One clap in a quiet minute fits every other clap: it is no proof.</summary>
    [Fact]
    public void AClapAsTheOnlySharpSound_IsNotTakenForProof()
    {
        float[] recorder = HeardClips.Noise(99, 120 * Rate, 0.001), camera = HeardClips.Noise(1, 30 * Rate, 0.003);
        Clap(recorder, 47.0);
        Clap(camera, 12.0);

        AlignmentResult result = Align(
            [_clips.Add(HeardClips.Recorder("RECORDER"), "1.WAV", recorder), _clips.Add(HeardClips.Camera("CAM_A"), "1.MP4", camera)]);

        Assert.NotEqual(Outcome.Placed, result.Clips[1].Outcome);
    }

    [Fact]
    public void AMicOfReversedPolarity_IsPlacedLikeAnother()
    {
        float[] sound = HeardClips.Noise(1, 60 * Rate, 0.003);
        _subject.AddTo(sound, Rate, 60.4, 30, Travel, gain: -0.3);

        AlignmentResult result = Align(
            [Recorder("1.WAV", 0, 200), _clips.Add(HeardClips.Camera("CAM_A"), "1.MP4", sound)]);

        AssertMiddle(60.4, result.Clips[1]);
    }

    /// <summary>Fast attack, slow release, 24 dB of range: what a small camera does by itself.</summary>
    [Fact]
    public void AutomaticGain_MovesNothing()
    {
        float[] sound = HeardClips.Noise(1, 60 * Rate, 0.003);
        _subject.AddTo(sound, Rate, 60.4, 30, Travel, gain: 0.3);
        float level = 0.01f;
        for (int n = 0; n < sound.Length; n++)
        {
            float heard = Math.Abs(sound[n]);
            level += (heard - level) * (heard > level ? 0.01f : 0.00005f);
            sound[n] *= Math.Min(16, 0.1f / Math.Max(level, 1e-4f));
        }

        AlignmentResult result = Align(
            [Recorder("1.WAV", 0, 200), _clips.Add(HeardClips.Camera("CAM_A"), "1.MP4", sound)]);

        AssertMiddle(60.4, result.Clips[1]);
    }

    private static void Hum(float[] sound, double start, double delay)
    {
        for (int n = 0; n < sound.Length; n++)
        {
            double t = start + ((double)n / Rate) - delay;
            for (int harmonic = 1; harmonic <= 8; harmonic++)
            {
                sound[n] += (float)(0.1 / harmonic * Math.Sin(2 * Math.PI * 50 * harmonic * t));
            }
        }
    }

    private static Action<float[], double, double> Loop(double gain) => (sound, start, delay) =>
    {
        var bar = new AnalyticTalker(seed: 77, seconds: 2);
        for (double at = Math.Floor(start / 2) * 2; at < start + ((double)sound.Length / Rate); at += 2)
        {
            bar.AddTo(sound, Rate, start - at, 0, delay, gain);
        }
    };

    private static void Clap(float[] sound, double at)
    {
        for (int n = 0; n < Rate / 20; n++)
        {
            sound[(int)(at * Rate) + n] += (float)(0.8 * Math.Exp(-n / 80.0) * Math.Sin(n * 1.1));
        }
    }

    private HeardClip Recorder(string file, double start, double seconds, Action<float[], double, double>? beside = null)
    {
        float[] sound = HeardClips.Noise(file.Length + (int)start, (int)(seconds * Rate), 0.001);
        _subject.AddTo(sound, Rate, start, 0, 0, gain: 1);
        beside?.Invoke(sound, start, 0);
        return _clips.Add(HeardClips.Recorder("RECORDER"), "RECORDER/" + file, sound);
    }

    private HeardClip Camera(string file, double start, double seconds, Action<float[], double, double>? beside = null)
    {
        float[] sound = HeardClips.Noise(1 + (int)start, (int)(seconds * Rate), 0.003);
        _subject.AddTo(sound, Rate, start, 30, Travel, gain: 0.3);
        beside?.Invoke(sound, start, Travel);
        return _clips.Add(HeardClips.Camera("CAM_A"), "CAM_A/" + file, sound);
    }

    private static AlignmentResult Align(IReadOnlyList<HeardClip> clips) =>
        new Aligner(0.999).Align(clips, null, CancellationToken.None);

    /// <summary>The clip's middle lies where it was made, against a recorder of true clock that is the first clip.</summary>
    private static void AssertMiddle(double start, ClipOutcome clip)
    {
        Assert.Equal(Outcome.Placed, clip.Outcome);
        double middle = clip.Clip.Duration.ToSeconds() / 2;
        double truth = start - Travel + (middle * (1 - 30e-6));
        Assert.Equal(truth, clip.Placement!.Map.ToCommon(MediaTime.FromSeconds(middle)).ToSeconds(), 0.0001);
    }
}
