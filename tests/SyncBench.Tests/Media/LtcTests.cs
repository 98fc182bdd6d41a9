using SyncBench.Media;
using SyncBench.Media.Ltc;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Media;

/// <summary>Against signals of libltc (fixtures/ltc/make.py), never against an encoder of our own.</summary>
public sealed class LtcTests
{
    [Theory]
    [InlineData("23_976", 24_000, 1_001)]
    [InlineData("24", 24, 1)]
    [InlineData("25", 25, 1)]
    [InlineData("29_97_drop", 30_000, 1_001)]
    [InlineData("30", 30, 1)]
    public void EveryWordOfLibltc_IsRead_WhereItBegins(string name, int numerator, int denominator)
    {
        LtcFixture made = LtcFixture.Read(name);

        LtcWord[] words = Words(made.Samples, made.SampleRateHz);
        LtcRun run = Assert.Single(Track(made.Samples, made.SampleRateHz)!.Runs);

        Assert.Equal(made.Labels[^words.Length..], words.Select(word => word.Label));
        Assert.InRange(words.Length, made.Labels.Length - 1, made.Labels.Length);
        Assert.All(words, word => Assert.Equal((made.UserBits, made.DropFrame, false), (word.UserBits, word.DropFrame, word.Reversed)));
        Assert.Equal(new Rate(numerator, denominator), run.FrameRate);
        Assert.Equal(made.DropFrame, run.Format.DropFrame);
        int missed = made.Labels.Length - words.Length;
        for (int n = 0; n < words.Length; n++)
        {
            Assert.InRange(words[n].StartSample - made.StartSamples[n + missed]!.Value, -2, 2);
            Assert.Equal(words[0].StartSample + (n * made.SamplesPerWord), words[n].StartSample, 1.0); // its edges lie on samples
        }
    }

    [Fact]
    public void PlayedBackwards_TheLabelsCountDown()
    {
        LtcFixture made = LtcFixture.Read("25_reverse");

        LtcWord[] words = Words(made.Samples, made.SampleRateHz);
        LtcRun run = Assert.Single(Track(made.Samples, made.SampleRateHz)!.Runs);

        Assert.Equal(made.Labels[^words.Length..], words.Select(word => word.Label));
        Assert.True(words.Length >= 11);
        Assert.All(words, word => Assert.Equal((made.UserBits, true), (word.UserBits, word.Reversed)));
        Assert.Equal(Rate.Fps25, run.FrameRate);
    }

    [Theory]
    [InlineData("24")]
    [InlineData("25")]
    [InlineData("25_reverse")]
    [InlineData("29_97_drop")]
    [InlineData("30")]
    public void PolarityLevelAndOffset_DoNotMatter(string name)
    {
        LtcFixture made = LtcFixture.Read(name);
        LtcWord[] plain = Words(made.Samples, made.SampleRateHz);

        foreach ((float gain, float offset) in ((float, float)[])[(-1, 0), (0.001f, 0), (-0.01f, 0.002f), (1, -0.2f)])
        {
            LtcWord[] words = Words([.. made.Samples.Select(sample => (gain * sample) + offset)], made.SampleRateHz);

            Assert.Equal(Labels(plain)[^11..], Labels(words)[^11..]);
            Assert.Equal(plain[^1].StartSample, words[^1].StartSample, 0.1);
        }
    }

    /// <summary>A recorder's own clock may be read at another rate: the same samples, called faster or slower.</summary>
    [Theory]
    [InlineData("24", 0.9)]
    [InlineData("24", 1.1)]
    [InlineData("30", 0.9)]
    [InlineData("30", 1.1)]
    public void AtATenthMoreOrLessSpeed_ItIsReadToo(string name, double speed)
    {
        LtcFixture made = LtcFixture.Read(name);

        LtcWord[] words = Words(made.Samples, (int)Math.Round(made.SampleRateHz * speed));

        Assert.Equal(made.Labels[^11..], Labels(words)[^11..]);
    }

    [Theory]
    [InlineData("24", 14)]
    [InlineData("25", 14)]
    [InlineData("29_97_drop", 14)]
    [InlineData("25_reverse", 14)]
    public void InNoise_TheWordsAreRead_AndTheirPlacesBarelyMove(string name, double snrDb)
    {
        LtcFixture made = LtcFixture.Read(name);
        LtcWord[] plain = Words(made.Samples, made.SampleRateHz);
        double rms = Math.Sqrt(made.Samples.Average(sample => (double)sample * sample)) * Math.Pow(10, -snrDb / 20);
        float[] noise = HeardClips.Noise(5, made.Samples.Length, rms);

        LtcWord[] words = Words([.. made.Samples.Zip(noise, (sample, add) => sample + add)], made.SampleRateHz);

        Assert.True(words.Length >= 10, $"{words.Length} words");
        Assert.All(words, word => Assert.Equal(
            plain.Single(other => other.Label == word.Label).StartSample, word.StartSample, 1.5));
    }

    [Fact]
    public void ASlowFade_LosesNothing()
    {
        LtcFixture made = LtcFixture.Read("25");
        float[] faded = [.. made.Samples.Select((sample, i) =>
            sample * (float)(0.05 + (0.95 * Math.Pow(Math.Sin(Math.PI * i / made.Samples.Length), 2))))];

        Assert.Equal(made.Labels[^11..^1], Labels(Words(faded, made.SampleRateHz))[^11..^1]);
    }

    /// <summary>Blocks of the streaming pass end anywhere.</summary>
    [Fact]
    public void HoweverTheSoundIsCut_TheSameIsRead()
    {
        LtcFixture made = LtcFixture.Read("25");
        LtcRun whole = Track(made.Samples, made.SampleRateHz)!.Runs[0];
        var listener = new LtcListener(1);
        foreach (float[] part in made.Samples.Chunk(1234))
        {
            listener.Hear(Block(part, made.SampleRateHz));
        }

        listener.Finish();

        LtcRun run = Assert.Single(listener.Of(0)!.Runs);
        Assert.Equal(whole.Last.Label, run.Last.Label);
        Assert.Equal(whole.Last.StartSample, run.Last.StartSample, 0.1);
    }

    [Fact]
    public void AChannelWithoutTimecode_HasNone()
    {
        const int Seconds = 20, Rate = 48_000;
        float[] speech = new float[Seconds * Rate];
        new AnalyticTalker(1, Seconds + 5).AddTo(speech, Rate, 0, 0, 0, 0.3);
        float[] tone = [.. speech.Select((_, i) => MathF.Sign(MathF.Sin(i * 2 * MathF.PI * 1000 / Rate)))];

        Assert.Null(Track(speech, Rate));
        Assert.Null(Track(HeardClips.Noise(1, speech.Length, 0.1), Rate));
        Assert.Null(Track(tone, Rate));
        Assert.Null(Track(new float[speech.Length], Rate));
        Assert.Null(Track(new float[10], Rate));
    }

    /// <summary>A cable that is plugged in after a while, and a mic whose pause lets some timecode leak in.</summary>
    [Fact]
    public void TimecodeInPartOfAChannel_IsReadWhereItIs()
    {
        LtcFixture made = LtcFixture.Read("25");
        float[] late = [.. new float[30_000], .. made.Samples];
        float[] leaked = [.. HeardClips.Noise(2, 48_000, 0.1), .. made.Samples.Select(sample => 0.001f * sample)];

        Assert.True(Track([.. made.Samples], 48_000)!.FillsTheChannel);
        Assert.InRange(Track(late, 48_000)!.Runs[0].First.StartSample, 30_000, 30_000 + (4 * 1920));
        Assert.False(Track(leaked, 48_000)!.FillsTheChannel);
    }

    private static string[] Labels(LtcWord[] words) => [.. words.Select(word => word.Label)];

    private static SoundBlock Block(float[] samples, int rate) => new(rate, [samples], samples.Length, [[]], 0);

    private static LtcTrack? Track(float[] samples, int rate)
    {
        var listener = new LtcListener(1);
        listener.Hear(Block(samples, rate));
        listener.Finish();
        return listener.Of(0);
    }

    private static LtcWord[] Words(float[] samples, int rate)
    {
        var decoder = new BiphaseDecoder();
        var words = new List<LtcWord>();
        decoder.Start(new LtcGate(rate).BitSamples(samples.AsSpan(2000)) ?? double.NaN);
        decoder.Read(samples, 0, words);
        return [.. words];
    }
}
