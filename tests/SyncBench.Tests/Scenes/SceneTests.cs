using System.Numerics;
using MathNet.Numerics.IntegralTransforms;
using SyncBench.Scenes;

namespace SyncBench.Tests.Scenes;

public class SceneTests
{
    [Theory]
    [InlineData(0, 10)]
    [InlineData(60, 0)]
    public async Task APair_LinesUpWhereItsTruthSays(double ppm, double snrDb)
    {
        ScenePair pair = await PairScene.MakeAsync(
            new PairCondition(ClipSeconds: 24, RecorderSeconds: 27, snrDb, Rt60: 0.4, Seed: 7, Ppm: ppm));

        // Only where the subject alone speaks: the interviewer's voice lies elsewhere, being nearer to the camera.
        int[] seconds = [.. Enumerable.Range(0, 21).Where(second => pair.Turns.Any(turn =>
            turn.Speaker == Speaker.Subject
            && turn.Start < (pair.StartSeconds + second) * 48_000
            && turn.End > (pair.StartSeconds + second + 3.1) * 48_000))];
        Assert.True(seconds[^1] - seconds[0] >= 8, "windows far enough apart for the rate to show");
        foreach (int second in new[] { seconds[0], seconds[^1] })
        {
            // Within three seconds the clocks part by ±ppm·1.5 s; where in them most is said decides the lag found.
            double expected = pair.StartSeconds + ((second + 1.5) * (1 + (ppm * 1e-6))) - 1.5;
            double found = BestStart(pair.Recorder, pair.Camera.AsSpan(second * 48_000, 3 * 48_000), expected);
            Assert.Equal(expected, found, 30e-6 + (1.5 * ppm * 1e-6));
        }
    }

    [Fact]
    public async Task SpeechOverNoise_IsAsAsked()
    {
        (Scene scene, Microphone mic) = await SmallSceneAsync();
        float[] heard = scene.Hear(mic);

        // The first half second is before the first word.
        double noise = SpeechBand.Power(heard, [1000..24_000]);
        Utterance spoken = scene.Utterances[0];
        double speech = SpeechBand.Power(heard, [spoken.Start..spoken.End]) - noise;

        Assert.Equal(mic.SnrDb, 10 * Math.Log10(speech / noise), 1.0);
        Assert.Equal(mic.SpeechDb, 10 * Math.Log10(speech), 0.2);
    }

    [Fact]
    public async Task ADisturbance_IsHeardWhereItIsPut_AndNowhereElse()
    {
        (Scene scene, Microphone mic) = await SmallSceneAsync();
        float[] clean = scene.Hear(mic);
        float[] rustle = Noise.Rustle(9600, new SeededRandom(1));
        float[] heard = scene.Hear(mic with { Disturbances = [new Disturbance(30_000, rustle, GainDb: -6)] });

        float[] difference = [.. heard.Zip(clean, (a, b) => a - b)];

        Assert.All(difference[..30_000], sample => Assert.Equal(0, sample));
        Assert.All(difference[39_600..], sample => Assert.Equal(0, sample));
        Assert.True(difference.Max() > 0.05f);
    }

    [Fact]
    public async Task TwoRenders_AreTheSameToTheLastBit()
    {
        var condition = new PairCondition(ClipSeconds: 2, RecorderSeconds: 3, SnrDb: 5, Rt60: 0.3, Seed: 9, SwayMetres: 0.05);
        ScenePair one = await PairScene.MakeAsync(condition), two = await PairScene.MakeAsync(condition);
        Assert.Equal(one.Recorder, two.Recorder);
        Assert.Equal(one.Camera, two.Camera);
        Assert.Equal(one.StartSeconds, two.StartSeconds);
    }

    private static async Task<(Scene Scene, Microphone Mic)> SmallSceneAsync()
    {
        float[] words = await Voice.Ines.SayAsync("The pitch goes up as the twist goes in.");
        var room = new ShoeboxRoom(new Point(6, 4, 3), rt60: 0.2);
        var mouth = new Point(2, 2, 1.2);
        var scene = new Scene(room, [new Utterance(IsSubject: true, 24_000, words, mouth)], 30_000 + words.Length, seed: 3);
        var mic = new Microphone("scratch", new Point(3.4, 2.3, 1.4), PickupPattern.AllRound, SpeechDb: -28, SnrDb: 14, RumbleDb: 0);
        return (scene, mic);
    }

    /// <summary>
    /// Cross-correlation with the spectrum partly whitened (Knapp and Carter 1976), 200 to 7500 Hz, eight times finer
    /// than samples, within 20 ms of a guess.
    /// </summary>
    private static double BestStart(float[] recorder, ReadOnlySpan<float> clip, double near)
    {
        const int Size = 1 << 18, Finer = 8;
        int from = (int)(near * 48_000);
        var a = new Complex[Size];
        var b = new Complex[Size];
        for (int i = 0; i < clip.Length; i++)
        {
            a[i] = from + i >= 0 && from + i < recorder.Length ? recorder[from + i] : 0;
            b[i] = clip[i];
        }

        Fourier.Forward(a, FourierOptions.NoScaling);
        Fourier.Forward(b, FourierOptions.NoScaling);
        var cross = new Complex[Size];
        for (int bin = 200 * Size / 48_000; bin < 7500.0 * Size / 48_000; bin++)
        {
            Complex product = a[bin] * Complex.Conjugate(b[bin]);
            cross[bin] = product / Math.Pow(product.Magnitude + 1e-12, 0.8);
        }

        double best = double.NegativeInfinity;
        int bestStep = 0;
        // Eight inverse transforms, each moved by an eighth of a sample.
        for (int part = 0; part < Finer; part++)
        {
            var moved = new Complex[Size];
            for (int bin = 1; bin < Size / 2; bin++)
            {
                moved[bin] = cross[bin] * Complex.FromPolarCoordinates(1, 2 * Math.PI * bin * part / Finer / Size);
            }

            Fourier.Inverse(moved, FourierOptions.NoScaling);
            for (int lag = -960; lag <= 960; lag++)
            {
                double value = moved[(lag + Size) % Size].Real;
                if (value > best)
                {
                    (best, bestStep) = (value, (lag * Finer) + part);
                }
            }
        }

        return (from + ((double)bestStep / Finer)) / 48_000;
    }
}
