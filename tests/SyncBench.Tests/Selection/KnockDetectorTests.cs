using SyncBench.Media;
using SyncBench.Selection;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

public class KnockDetectorTests(ITestOutputHelper output)
{
    private const double Length = 60;
    private const double SpeechGain = 0.1;

    /// <summary>Speech peaks about 14 dB above its root mean square (common practice).</summary>
    private static readonly double SpeechPeak = SpeechGain * Math.Pow(10, 14 / 20.0);

    /// <summary>A tenth of a second, as the bench asks.</summary>
    private const double Near = 0.1;

    [Theory]
    [InlineData(12.3, 3)]
    [InlineData(31.1, 4)]
    [InlineData(47.2, 5)]
    public void AVolleyUnderThePeaksOfSpeech_IsFoundFromFirstKnockToLast(double from, int seed)
    {
        (float[] volley, double last) = Volley(from, seed, underSpeechDb: -4);
        Fault fault = Assert.Single(Choose(volley, inRoomDb: null).Faults.AsEnumerable());
        Assert.Equal((FaultKind.Knock, MicRole.Lavalier), (fault.Kind, fault.Source.Mic.Role));
        Assert.Equal(from, fault.CommonRange.Start.ToSeconds(), Near);
        Assert.Equal(last, fault.CommonRange.End.ToSeconds(), Near);
    }

    /// <summary>Every mic hears it as it hears the talker, so it is in the room.</summary>
    [Theory]
    [InlineData(12.3, 3)]
    [InlineData(31.1, 4)]
    [InlineData(47.2, 5)]
    public void KnocksThatEveryMicHears_AreNoFault(double from, int seed)
    {
        (float[] volley, _) = Volley(from, seed, underSpeechDb: -4);
        Assert.DoesNotContain(Choose(volley, inRoomDb: -6).Faults, fault => fault.Kind == FaultKind.Knock);
    }

    /// <summary>A table is struck eight times, at another pitch each time.</summary>
    /// <returns>The sound, and when the last knock has fallen by 20 dB.</returns>
    private static (float[] Sound, double Last) Volley(double from, int seed, double underSpeechDb)
    {
        var random = new Random(seed);
        var sound = new float[(int)(Length * TestSound.Rate)];
        double at = from, last = from;
        for (int knock = 0; knock < 8; knock++, at += 0.2 + (0.3 * random.NextDouble()))
        {
            double hz = 80 + (130 * random.NextDouble()), decay = 0.012 + (0.023 * random.NextDouble());
            for (int n = 0; n < TestSound.Rate / 8; n++)
            {
                double t = (double)n / TestSound.Rate;
                sound[(int)(at * TestSound.Rate) + n] +=
                    (float)(SpeechPeak * Math.Pow(10, underSpeechDb / 20) * Math.Exp(-t / decay) * Math.Sin(2 * Math.PI * hz * t));
            }

            last = at + (2.3 * decay);
        }

        return (sound, last);
    }

    /// <param name="inRoomDb">At the cameras, against the lavalier; null where only the lavalier is struck.</param>
    private TakeSound Choose(float[] volley, double? inRoomDb)
    {
        float[] talk = TestSound.Speech(Length, seed: 5, gain: (float)SpeechGain);
        float[] Camera(int seed, double db) => TestSound.Sum(
            TestSound.Gain(TestSound.InRoom(talk, seed), db), TestSound.White(Length, seed + 10, 0.002f),
            inRoomDb is { } heard ? TestSound.Gain(TestSound.InRoom(volley, seed), heard) : new float[volley.Length]);
        TakeSound sound = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, TestSound.Sum(talk, TestSound.White(Length, 1, 0.001f), volley)))
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Shotgun, Camera(3, -4)))
            .Clip("CAM_B", DeviceKind.Camera, 0, (MicRole.Scratch, Camera(4, -6)))
            .Choose(0, Length);
        TestTake.Tell(sound, output);
        return sound;
    }
}
