using SyncBench.Scenes;
using SyncBench.Signal;
using SyncBench.Signal.Loudness;

namespace SyncBench.Tests.Standards.Loudness;

/// <summary>ITU-T P.56, Objective measurement of active speech level, method B (constants from memory).</summary>
public class P56Tests
{
    private const int RateHz = 16_000;

    /// <summary>Of a tone that never stops, all is active: its level is its root mean square.</summary>
    [Fact]
    public void ASteadyTone_HasTheLevelOfItsRootMeanSquare() => Assert.Equal(
        -23.01, Level(Tone(10, _ => true)), 0.05);

    /// <summary>Pauses longer than the hangover of 200 ms don't count: 2 s on, 6 s off leaves 6 dB between the levels.</summary>
    [Fact]
    public void Pauses_AreLeftOut()
    {
        float[] sound = Tone(32, second => second % 8 < 2);
        double everything = 10 * Math.Log10(sound.Sum(x => (double)x * x) / sound.Length);

        Assert.Equal(-29.03, everything, 0.05);
        Assert.Equal(-23.01, Level(sound), 0.6); // the hangover adds a tenth to each burst: 0.4 dB
    }

    /// <summary>Against the recommendation done sample by sample, without the means over a millisecond.</summary>
    [Theory]
    [InlineData(1f)]
    [InlineData(0.05f)]
    public async Task SpokenWords_HaveTheLevelOfTheRecommendationDoneSlowly(float gain)
    {
        Rehearsal rehearsal = await Rehearsal.OfAsync([.. Interview.Lines.Take(4)], 1, 0, 5);
        var speech = new float[rehearsal.Sentences.Max(sentence => sentence.End) / 48_000 * 48_000];
        foreach (SpokenSentence sentence in rehearsal.Sentences)
        {
            sentence.Samples.AsSpan(0, Math.Min(sentence.Samples.Length, Math.Max(0, speech.Length - sentence.Start)))
                .CopyTo(speech.AsSpan(Math.Min(sentence.Start, speech.Length)));
        }

        var resampler = new RationalResampler(48_000, RateHz);
        var sound = new float[resampler.MaxOutput(speech.Length)];
        Array.Resize(ref sound, resampler.Process(speech, sound) / RateHz * RateHz);
        sound = Array.ConvertAll(sound, x => gain * x);

        Assert.Equal(Slowly(sound), Level(sound), 0.1);
    }

    [Fact]
    public void Silence_HasNone() => Assert.Equal(double.NegativeInfinity, Level(new float[3 * RateHz]));

    private static double Level(float[] sound)
    {
        var meter = new ActiveSpeechMeter(RateHz);
        foreach (float[] block in sound.Chunk(1009))
        {
            meter.Add(block);
        }

        return meter.Result().LevelDb(Range.All);
    }

    /// <summary>−20 dB relative to full scale at its peaks, 500 Hz.</summary>
    private static float[] Tone(int seconds, Func<int, bool> sounds) => [.. Enumerable.Range(0, seconds * RateHz).Select(
        n => sounds(n / RateHz) ? 0.1f * MathF.Sin(2 * MathF.PI * 500 * (n % RateHz) / RateHz) : 0)];

    private static double Slowly(float[] sound)
    {
        double keep = Math.Exp(-1 / (0.03 * RateHz)), first = 0, second = 0, energy = 0;
        double[] thresholds = [.. Enumerable.Range(1, 20).Select(j => Math.Pow(2, -j))];
        var active = new long[thresholds.Length];
        long[] since = [.. thresholds.Select(_ => (long)RateHz)];
        foreach (float sample in sound)
        {
            energy += (double)sample * sample;
            first = (keep * first) + ((1 - keep) * Math.Abs(sample));
            second = (keep * second) + ((1 - keep) * first);
            for (int j = 0; j < thresholds.Length; j++)
            {
                since[j] = second >= thresholds[j] ? 0 : since[j] + 1;
                active[j] += since[j] < RateHz / 5 ? 1 : 0;
            }
        }

        // From the highest threshold down, the first level that does not stand 15.9 dB above its threshold any more rises
        // through the margin between the two.
        for (int j = 1; j < thresholds.Length; j++)
        {
            (double level, double over) above = At(j - 1), below = At(j);
            if (active[j - 1] > 0 && above.over <= 0 && below.over > 0)
            {
                return below.level + ((above.level - below.level) * below.over / (below.over - above.over));
            }
        }

        throw new InvalidOperationException("The sound passes no threshold.");

        (double Level, double Over) At(int j)
        {
            double level = 10 * Math.Log10(energy / active[j]);
            return (level, level - (20 * Math.Log10(thresholds[j])) - 15.9);
        }
    }
}
