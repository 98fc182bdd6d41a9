using SyncBench.Alignment;
using SyncBench.Selection;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

public class NoiseFloorTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData(false, false)]
    [InlineData(true, false)]
    [InlineData(false, true)]
    [InlineData(true, true)]
    public void SettlesAtTheTrueNoise(bool pink, bool speech)
    {
        float[] noise = pink ? TestSound.Pink(30, seed: 3, gain: 0.01f) : TestSound.White(30, seed: 3, gain: 0.01f);
        float[] heard = speech ? TestSound.Sum(noise, TestSound.Speech(30, seed: 5, gain: 0.1f)) : noise;
        BandLevels truth = TestSound.Levels(noise);
        ClipSound sound = TestSound.Measure(heard);

        NoiseFloor floor = NoiseFloor.Of(sound.Bands[0], sound.Measures[0], 0, sound.Bands[0].Steps);

        var errors = new double[BandLevels.Bands];
        for (int band = 0; band < BandLevels.Bands; band++)
        {
            double expected = 0, mean = 0;
            for (int step = 100; step < 2900; step++)
            {
                expected += Math.Pow(10, BandLevels.ToDb(truth.Step(step)[band]) / 10) / 2800;
                mean += BandLevels.ToDb(floor.Step(step)[band]) / 2800;
            }

            errors[band] = mean - (10 * Math.Log10(expected));
        }

        output.WriteLine($"pink {pink} speech {speech}: " + string.Join(" ", errors.Select(e => FormattableString.Invariant($"{e:0.0}"))));
        Assert.All(errors[4..], error => Assert.InRange(error, -1.5, 1.5));
    }

    /// <summary>Sentences of 3.4 s without a breath, whose echo takes half a second to fall by 60 dB: only the longer window reaches a pause.</summary>
    [Fact]
    public void NoiseThatStays_IsRightUnderSentencesOfAnyLength()
    {
        float[] noise = TestSound.White(40, seed: 3, gain: 0.001f);
        float[] sentences = TestSound.Envelope(
            TestSound.White(40, seed: 5, gain: 0.1f), t => t % 4 < 3.4 ? 0 : -120 * ((t % 4) - 3.4));
        ClipSound sound = TestSound.Measure(TestSound.Sum(noise, sentences));
        BandLevels truth = TestSound.Levels(noise);

        NoiseFloor floor = NoiseFloor.Of(sound.Bands[0], sound.Measures[0], 0, sound.Bands[0].Steps);

        for (int band = 6; band < BandLevels.Bands; band++)
        {
            double expected = Enumerable.Range(0, 3000).Average(step => Math.Pow(10, BandLevels.ToDb(truth.Step(step + 500)[band]) / 10));
            double mean = Enumerable.Range(0, 3000).Average(step => BandLevels.ToDb(floor.Steady(step + 500)[band]));
            Assert.InRange(mean - (10 * Math.Log10(expected)), -2, 2);
        }
    }

    [Theory]
    [InlineData(0.003f, 0.03f)]
    [InlineData(0.03f, 0.003f)]
    public void FollowsAJumpOfTwentyDecibelsWithinHalfASecond(float before, float after)
    {
        float[] noise = TestSound.Sum(
            TestSound.Only(TestSound.White(30, seed: 6, before), 0, 15),
            TestSound.Only(TestSound.White(30, seed: 7, after), 15, 30));
        ClipSound sound = TestSound.Measure(noise);

        NoiseFloor floor = NoiseFloor.Of(sound.Bands[0], sound.Measures[0], 0, sound.Bands[0].Steps);

        double difference = 20 * Math.Log10(after / before);
        for (int band = 6; band < BandLevels.Bands; band++)
        {
            double early = BandLevels.ToDb(floor.Step(1450)[band]), late = BandLevels.ToDb(floor.Step(1550)[band]);
            Assert.Equal(difference, late - early, 3.0);
        }
    }

    /// <summary>A link that mutes for two seconds says nothing of the noise of the place.</summary>
    [Fact]
    public void DigitalSilence_IsNotTakenForTheFloor()
    {
        float[] noise = TestSound.White(20, seed: 6, gain: 0.01f);
        Array.Clear(noise, 8 * TestSound.Rate, 2 * TestSound.Rate);
        ClipSound sound = TestSound.Measure(noise);
        NoiseFloor floor = NoiseFloor.Of(sound.Bands[0], sound.Measures[0], 0, sound.Bands[0].Steps);
        for (int band = 6; band < BandLevels.Bands; band++)
        {
            Assert.Equal(BandLevels.ToDb(floor.Step(400)[band]), BandLevels.ToDb(floor.Step(780)[band]), 3.0);
            Assert.Equal(BandLevels.ToDb(floor.Step(400)[band]), BandLevels.ToDb(floor.Step(900)[band]), 3.0);
        }
    }
}
