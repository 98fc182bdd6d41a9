using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Signal;
using SyncBench.Time;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

public class MicSelectorTests(ITestOutputHelper output)
{
    private const double Length = 60;

    [Fact]
    public void BothClean_StaysOnTheCloseMic()
    {
        TakeSound sound = TwoMics(lavalierNoise: -60, shotgunNoise: -60).Choose(0, Length);
        TestTake.Tell(sound, output);
        Segment only = Assert.Single(sound.Segments);
        Assert.Equal("lavalier: both clean, the close mic is preferred", only.Reason);
        Assert.Empty(sound.Faults);
    }

    [Theory]
    [InlineData(-40, -38)]
    [InlineData(-34, -35)]
    [InlineData(-30, -31.5)] // the reflections that the shotgun hears besides are worth another 1.3 dB
    public void WithinThreeDecibels_StaysOnTheCloseMic(double lavalierNoise, double shotgunNoise)
    {
        TakeSound sound = TwoMics(lavalierNoise, shotgunNoise).Choose(0, Length);
        TestTake.Tell(sound, output);
        Assert.Equal(1, TestTake.Share(sound, MicRole.Lavalier, 0, Length));
    }

    [Theory]
    [InlineData(-26, -32)]
    [InlineData(-34, -40)]
    [InlineData(-40, -50)]
    public void ACleanerShotgun_IsTakenForNearlyAllSpeech(double lavalierNoise, double shotgunNoise)
    {
        TakeSound sound = TwoMics(lavalierNoise, shotgunNoise).Choose(0, Length);
        TestTake.Tell(sound, output);
        Assert.InRange(TestTake.Share(sound, MicRole.Shotgun, 0, Length), 0.98, 1);
        Assert.Contains("cleaner by", sound.Segments[0].Reason, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0.05f, 20, 26)]
    [InlineData(0.04f, 20, 23)]
    [InlineData(0.1f, 30, 48)]
    public void RustleOnTheLavalier_IsHeardThroughTheShotgun(float gain, double from, double to)
    {
        float[] cloth = TestSound.Only(TestSound.Cloth(Length, seed: 9, gain), from, to);
        TakeSound sound = TwoMics(-60, -50, lavalierMore: cloth).Choose(0, Length);
        TestTake.Tell(sound, output);

        Assert.InRange(TestTake.Share(sound, MicRole.Shotgun, from, to), 0.95, 1);

        // Speech hides where cloth begins, so the change is made in the last pause before it.
        Assert.InRange(TestTake.Share(sound, MicRole.Lavalier, 0, from - 3.5), 1, 1);
        Assert.InRange(TestTake.Share(sound, MicRole.Lavalier, to + 3, Length), 1, 1);
        (FaultKind Kind, TimeRange CommonRange) fault = Assert.Single(sound.Faults.Select(f => (f.Kind, f.CommonRange)));
        Assert.Equal(FaultKind.Rustle, fault.Kind);
        Assert.Equal(from, fault.CommonRange.Start.ToSeconds(), 0.3);
        Assert.Equal(to, fault.CommonRange.End.ToSeconds(), 0.3);
        Assert.Contains(sound.Segments, s => s.Reason.StartsWith("shotgun: lavalier has rustle", StringComparison.Ordinal));
    }

    [Fact]
    public void OfThreeMics_TheBoomStandsInForARustlingLavalier()
    {
        TakeSound sound = BesideALavalierThatRustles(MicRole.Boom, noiseDb: -50);
        Assert.InRange(TestTake.Share(sound, MicRole.Boom, 20, 26), 0.95, 1);
        Assert.Equal(0, TestTake.Share(sound, MicRole.Scratch, 0, Length));
        Assert.Equal(1, TestTake.Share(sound, MicRole.Lavalier, 30, Length));
    }

    [Fact]
    public void OfTwoLavaliers_TheCleanOneStandsInForTheOther()
    {
        TakeSound sound = BesideALavalierThatRustles(MicRole.Lavalier, noiseDb: -52);
        Assert.Equal(1, TestTake.Share(sound, MicRole.Lavalier, 0, Length));
        Segment standsIn = Assert.Single(sound.Segments, s => s.CommonRange.Start.ToSeconds() < 23 && s.CommonRange.End.ToSeconds() > 23);
        Assert.Equal(1, standsIn.Source.Mic.Channel);
        Assert.Equal(0, sound.Segments[0].Source.Mic.Channel);
    }

    [Fact]
    public void AThumpOnTheLavalier_IsAKnock()
    {
        var thump = new float[(int)(Length * TestSound.Rate)];
        for (int n = 0; n < 2000; n++)
        {
            double t = (double)n / TestSound.Rate;
            thump[(30 * TestSound.Rate) + n] = (float)(0.8 * Math.Exp(-t / 0.03) * Math.Sin(2 * Math.PI * 55 * t));
        }

        TakeSound sound = TwoMics(-50, -50, lavalierMore: thump).Choose(0, Length);
        TestTake.Tell(sound, output);
        Fault fault = Assert.Single(sound.Faults.AsEnumerable());
        Assert.Equal((FaultKind.Knock, MicRole.Lavalier), (fault.Kind, fault.Source.Mic.Role));
        Assert.True(fault.CommonRange.Contains(MediaTime.FromSeconds(30.02)));
        Assert.Equal(MicRole.Shotgun, TestTake.RoleAt(sound, 30.02));
    }

    [Fact]
    public void TwoCamerasWithTwoMicsEach_AreToldApartInWords()
    {
        float[] talk = TestSound.Speech(30, seed: 5, gain: 0.1f);
        float[] At(double noise, int seed) => TestSound.Sum(TestSound.InRoom(talk, seed), TestSound.White(30, seed, Amplitude(noise)));
        TakeSound sound = new TestTake()
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Scratch, At(-30, 11)), (MicRole.Scratch, At(-32, 12)))
            .Clip("CAM_B", DeviceKind.Camera, 0, (MicRole.Scratch, At(-30, 13)), (MicRole.Scratch, At(-50, 14)))
            .Choose(0, 30);
        TestTake.Tell(sound, output);
        Assert.StartsWith("camera mic of CAM_B on channel 2: cleaner by ", Assert.Single(sound.Segments.AsEnumerable()).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void SoundThatSetsInLate_HasNotDroppedOut()
    {
        float[] samples = TestSound.Sum(TestSound.Speech(20, 1, 0.1f), TestSound.White(20, 1, 0.001f));
        Array.Clear(samples, 0, 800);
        TakeSound sound = new TestTake().Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, samples)).Choose(0, 20);
        Assert.DoesNotContain(sound.Faults, fault => fault.Kind is FaultKind.Dropout or FaultKind.Silence);
    }

    [Fact]
    public void Curves_ShowLevelNoiseAndPeakEveryQuarterSecond()
    {
        float[] samples = TestSound.White(20, 1, 0.01f);
        TakeSound sound = new TestTake().Clip("RECORDER", DeviceKind.Recorder, 2, (MicRole.Lavalier, samples)).Choose(0, 30);
        MicCurve curve = Assert.Single(sound.Curves.AsEnumerable());
        Assert.Equal((120, 0.25), (curve.LevelDb.Length, curve.Step.ToSeconds()));
        Assert.True(float.IsNaN(curve.LevelDb[7]) && float.IsNaN(curve.PeakDb[88]));

        // Of white noise at −37 dB re a full-scale sine, 141 to 7080 Hz hold the share 6939/8000: −0.6 dB.
        Assert.InRange(curve.LevelDb[8..88].Average(), -38.6, -36.6);
        Assert.InRange(curve.NoiseDb[8..88].Average(), -39.6, -36.6);
        Assert.All(curve.PeakDb[8..88].ToArray(), peak => Assert.InRange(peak, -33, -25));
    }

    [Fact]
    public void WindOnTheCleanerShotgun_IsAvoided()
    {
        float[] wind = TestSound.Only(TestSound.Wind(Length, seed: 4, gain: 0.3f), 30, 40);
        TakeSound sound = TwoMics(-30, -55, shotgunMore: wind).Choose(0, Length);
        TestTake.Tell(sound, output);

        Assert.InRange(TestTake.Share(sound, MicRole.Lavalier, 30, 40), 0.95, 1);
        Assert.InRange(TestTake.Share(sound, MicRole.Shotgun, 0, 27), 1, 1);
        Assert.Equal(FaultKind.Wind, Assert.Single(sound.Faults, fault => fault.Kind.MakesUnfit()).Kind); // the lavalier hisses
    }

    [Fact]
    public void TrafficThatAllMicsHear_IsNoWind()
    {
        float[] lorry = TestSound.Only(TestSound.Wind(Length, seed: 4, gain: 0.3f), 30, 40);
        TakeSound sound = TwoMics(-50, -50, lorry, lorry).Choose(0, Length);
        TestTake.Tell(sound, output);
        Assert.DoesNotContain(sound.Faults, fault => fault.Kind == FaultKind.Wind);
    }

    /// <summary>Common practice: who asks sits beside the camera, so its mic hears him near and the answers far.</summary>
    [Theory]
    [InlineData(12, 0.3)]
    [InlineData(18, 1)]
    [InlineData(24, 0.7)]
    public void WhoAsksFromBesideTheCamera_IsNoFaultOfAnyMic(double apartDb, double asksFor)
    {
        float[] answers = TestSound.Envelope(TestSound.Speech(Length, seed: 5, gain: 0.1f), t => t % 12 < 6 ? 0 : -200);
        float[] asks = TestSound.Envelope(
            TestSound.Speech(Length, seed: 6, gain: 0.1f, voiceHz: 200), t => t % 12 >= 6 && t % 12 < 6 + (6 * asksFor) ? 0 : -200);
        TakeSound sound = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, TestSound.Sum(
                answers, TestSound.Gain(TestSound.InRoom(asks, 3), -apartDb), TestSound.White(Length, 1, Amplitude(-60)))))
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Scratch, TestSound.Sum(
                TestSound.Gain(TestSound.InRoom(answers, 4), -apartDb), asks, TestSound.White(Length, 2, Amplitude(-60)))))
            .Choose(0, Length);
        TestTake.Tell(sound, output);
        Assert.DoesNotContain(sound.Faults, fault => fault.Kind.MakesUnfit());
    }

    /// <summary>His voice has what is called presence: 10 dB more between 2 and 5 kHz than the subject's.</summary>
    [Theory]
    [InlineData(-44)]
    [InlineData(-34)]
    public void WhoAsksFromBesideTheCamera_DoesNotDrawTheChoiceThere(double lavalierNoise)
    {
        float[] answers = TestSound.Envelope(TestSound.Speech(Length, seed: 5, gain: 0.1f), t => t % 12 < 7 ? 0 : -200);
        float[] voice = TestSound.Envelope(TestSound.Speech(Length, seed: 6, gain: 0.1f, voiceHz: 200), t => t % 12 is >= 8 and < 11 ? 0 : -200);
        float[] present = (float[])voice.Clone();
        Biquad.HighPass(TestSound.Rate, 2000, 0.7).Process(present, present);
        float[] asks = TestSound.Sum(voice, TestSound.Gain(present, 10));
        TakeSound sound = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, TestSound.Sum(
                answers, TestSound.Gain(TestSound.InRoom(asks, 3), -14), TestSound.White(Length, 1, Amplitude(lavalierNoise)))))
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Shotgun, TestSound.Sum(
                TestSound.Gain(TestSound.InRoom(answers, 4, 0.1f), -4), asks, TestSound.White(Length, 2, Amplitude(lavalierNoise - 5)))))
            .Choose(0, Length);
        TestTake.Tell(sound, output);
        Assert.Equal(1, TestTake.Share(sound, MicRole.Lavalier, 0, Length));
    }

    [Fact]
    public void OfTwoWhoWearALavalierEach_EachIsHeardThroughTheirOwn()
    {
        float[] one = TestSound.Envelope(TestSound.Speech(Length, seed: 5, gain: 0.1f), t => t % 20 < 9 ? 0 : -200);
        float[] two = TestSound.Envelope(TestSound.Speech(Length, seed: 6, gain: 0.1f, voiceHz: 200), t => t % 20 is >= 10 and < 19.5 ? 0 : -200);
        TakeSound sound = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0,
                (MicRole.Lavalier, Noisy(one, 1, -50, TestSound.Gain(TestSound.InRoom(two, 3), -15))),
                (MicRole.Lavalier, Noisy(two, 2, -50, TestSound.Gain(TestSound.InRoom(one, 4), -15))))
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Scratch, Noisy(TestSound.InRoom(TestSound.Sum(one, two), 7), 3, -40)))
            .Choose(0, Length);
        TestTake.Tell(sound, output);
        Assert.All(sound.Segments, segment => Assert.Equal(MicRole.Lavalier, segment.Source.Mic.Role));
        for (double at = 0.5; at < Length; at += 1)
        {
            int speaks = at % 20 < 9 ? 0 : 1;
            Segment heard = sound.Segments.Single(segment => segment.CommonRange.Contains(MediaTime.FromSeconds(at)));
            Assert.True(at % 20 is >= 9 and < 10 or >= 19 || heard.Source.Mic.Channel == speaks, $"{at} s");
        }
    }

    [Fact]
    public void NoiseThatComesAndGoes_NeverMakesItChatter()
    {
        float[] traffic = TestSound.Envelope(
            TestSound.Pink(Length, seed: 8, gain: 0.01f), t => 12 * Math.Sin(2 * Math.PI * t / 7));
        TakeSound sound = TwoMics(-32, -60, shotgunMore: traffic).Choose(0, Length);
        TestTake.Tell(sound, output);
        Assert.All(sound.Segments.Skip(1).SkipLast(1), s => Assert.True(s.CommonRange.Duration.ToSeconds() >= 2));
    }

    [Fact]
    public void AFaultOnEveryMic_TakesTheLeastBadAndSaysSo()
    {
        float[] cloth = TestSound.Only(TestSound.Cloth(Length, seed: 9, gain: 0.1f), 20, 30);
        float[] wind = TestSound.Only(TestSound.Wind(Length, seed: 4, gain: 0.3f), 15, 35);
        TakeSound sound = TwoMics(-60, -45, cloth, wind).Choose(0, Length);
        TestTake.Tell(sound, output);
        Assert.Contains(sound.Segments, s => s.Reason.Contains("every mic has a fault", StringComparison.Ordinal));
    }

    [Fact]
    public void ADropout_IsFoundAndAvoided()
    {
        float[] talk = TestSound.Speech(Length, seed: 5, gain: 0.1f);
        float[] lavalier = TestSound.Sum(talk, TestSound.White(Length, 1, 0.0005f));
        Array.Clear(lavalier, 20 * TestSound.Rate, TestSound.Rate / 2);
        float[] shotgun = TestSound.Sum(TestSound.InRoom(talk, 3), TestSound.White(Length, 2, 0.001f));
        TakeSound sound = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, lavalier))
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Shotgun, shotgun))
            .Choose(0, Length);
        TestTake.Tell(sound, output);
        (FaultKind Kind, TimeRange CommonRange) fault = Assert.Single(sound.Faults.Select(f => (f.Kind, f.CommonRange)));
        Assert.Equal(FaultKind.Dropout, fault.Kind);
        Assert.Equal(20, fault.CommonRange.Start.ToSeconds(), 0.011);
        Assert.Equal(20.5, fault.CommonRange.End.ToSeconds(), 0.011);
        Assert.Equal(1, TestTake.Share(sound, MicRole.Shotgun, 20, 20.5));
    }

    [Fact]
    public void OneMicAlone_IsTaken()
    {
        TakeSound sound = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, TestSound.Speech(20, 1, 0.1f)))
            .Choose(2, 15);
        Segment only = Assert.Single(sound.Segments);
        Assert.Equal((2.0, 15.0), (only.CommonRange.Start.ToSeconds(), only.CommonRange.End.ToSeconds()));
        Assert.Equal("lavalier: the only mic that rolls", only.Reason);
    }

    [Fact]
    public void SegmentsCoverExactlyWhatRolls()
    {
        float[] talk = TestSound.Sum(TestSound.Speech(60, 1, 0.1f), TestSound.White(60, 1, 0.0001f));
        float[] noisy = TestSound.Sum(talk, TestSound.White(60, 2, 0.05f));
        TakeSound sound = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, noisy))
            .Clip("CAM_A", DeviceKind.Camera, 10.1234, ppm: 80, (MicRole.Shotgun, TestSound.Only(talk[160_000..480_000], 0, 60)))
            .Clip("CAM_A", DeviceKind.Camera, 30.1250, ppm: 80, (MicRole.Shotgun, talk[480_000..640_000]))
            .Clip("CAM_A", DeviceKind.Camera, 45.0, ppm: 80, (MicRole.Shotgun, talk[720_000..800_000]))
            .Choose(5, 55);
        TestTake.Tell(sound, output);
        Assert.Equal(5, sound.Segments[0].CommonRange.Start.ToSeconds());
        Assert.Equal(55, sound.Segments[^1].CommonRange.End.ToSeconds());
        for (int i = 0; i < sound.Segments.Length; i++)
        {
            Segment segment = sound.Segments[i];
            TimeRange rolls = segment.Source.Placement.CommonRange;
            Assert.True(segment.CommonRange.Start >= rolls.Start && segment.CommonRange.End <= rolls.End);
            if (i > 0)
            {
                double gap = (segment.CommonRange.Start - sound.Segments[i - 1].CommonRange.End).ToSeconds();
                Assert.InRange(gap, 0, 0.005); // 45.0 s and the end of the recorder leave no gap; one between files may
            }
        }
    }

    [Fact]
    public void TwoRuns_AreEqual()
    {
        TestTake take = TwoMics(-34, -40, TestSound.Only(TestSound.Cloth(Length, 9, 0.1f), 20, 30));
        Assert.Equal<string>([.. TestTake.Story(take.Choose(0, Length))], [.. TestTake.Story(take.Choose(0, Length))]);
    }

    /// <summary>Speech at −20 dB, noise in dB relative to full scale (root mean square, white below 8 kHz).</summary>
    private static TestTake TwoMics(
        double lavalierNoise, double shotgunNoise, float[]? lavalierMore = null, float[]? shotgunMore = null)
    {
        float[] talk = TestSound.Speech(Length, seed: 5, gain: 0.1f);
        float[] silence = new float[talk.Length];
        return new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, TestSound.Sum(
                talk, TestSound.White(Length, 1, Amplitude(lavalierNoise)), lavalierMore ?? silence)))
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Shotgun, TestSound.Sum(
                TestSound.InRoom(talk, 3), TestSound.White(Length, 2, Amplitude(shotgunNoise)), shotgunMore ?? silence)));
    }

    /// <summary>Cloth from 20 to 26 s on the lavalier; another mic beside it, and a camera's own.</summary>
    private TakeSound BesideALavalierThatRustles(MicRole other, double noiseDb)
    {
        float[] talk = TestSound.Speech(Length, seed: 5, gain: 0.1f);
        TakeSound sound = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0,
                (MicRole.Lavalier, Noisy(talk, 1, -60, TestSound.Only(TestSound.Cloth(Length, seed: 9, 0.05f), 20, 26))),
                (other, Noisy(TestSound.InRoom(talk, 3), 2, noiseDb)))
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Scratch, Noisy(TestSound.InRoom(talk, 4), 3, -45)))
            .Choose(0, Length);
        TestTake.Tell(sound, output);
        return sound;
    }

    private static float[] Noisy(float[] talk, int seed, double noiseDb, float[]? more = null) =>
        TestSound.Sum(talk, TestSound.White(Length, seed, Amplitude(noiseDb)), more ?? new float[talk.Length]);

    private static float Amplitude(double db) => (float)Math.Pow(10, db / 20);
}
