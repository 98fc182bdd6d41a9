using NAudio.Wave;
using SyncBench.Media;
using SyncBench.Signal;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Media;

/// <summary>
/// Where a click stands in a file is where a player would present it: encoder priming, edit lists, late streams and
/// broadcast stamps are all accounted for. ffmpeg is the encoder and so the outside authority.
/// </summary>
public sealed class PresentationTimeTests : IDisposable
{
    private const string Clicks = "aevalsrc='if(eq(mod(n,48000),24000),0.9,0)':s=48000:d=6";
    private const string Picture = "testsrc2=s=160x120:r=25:d=6";

    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("pcm_s24le", "clicks.wav")]
    [InlineData("pcm_s16le", "clicks.mov")]
    [InlineData("flac", "clicks.flac")]
    public async Task OfLosslessSound_AClickStandsAtItsSample(string codec, string name)
    {
        await Tool.FfmpegAsync("-f", "lavfi", "-i", Clicks, "-c:a", codec, _folder.File(name));

        double[] clicks = await ClicksAsync(name);

        Assert.Equal(6, clicks.Length);
        Assert.All(clicks.Select((at, i) => at - (24_000 + (48_000 * i))), off => Assert.InRange(off, -0.01, 0.01));
    }

    /// <summary>Oracle: NAudio, a general-purpose sound library that shares nothing with ffmpeg.</summary>
    [Theory]
    [InlineData("pcm_s16le")]
    [InlineData("pcm_s24le")]
    [InlineData("pcm_f32le")]
    public async Task OfAWaveFile_TheSamplesAreThoseThatNAudioReads(string codec)
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", "anoisesrc=r=48000:a=0.5:seed=7:d=1", "-ac", "2", "-c:a", codec, _folder.File("noise.wav"));
        (SoundCapture sound, _) = await SoundCapture.OfAsync(await ProbedAsync("noise.wav"));
        float[] expected = new float[2 * 48_000];
        using (var reader = new WaveFileReader(_folder.File("noise.wav")))
        {
            Assert.Equal(expected.Length, reader.ToSampleProvider().Read(expected));
        }

        Assert.Equal(expected.Where((_, n) => n % 2 == 0), sound.Full(0));
        Assert.Equal(expected.Where((_, n) => n % 2 == 1), sound.Full(1));
    }

    [Theory]
    [InlineData("clicks.mp4")]
    [InlineData("clicks.mov")]
    public async Task OfAac_AClickStandsWithinATenthOfAMillisecond(string name)
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", Picture, "-f", "lavfi", "-i", Clicks,
            "-c:v", "libx264", "-preset", "ultrafast", "-c:a", "aac", "-b:a", "192k", _folder.File(name));

        double[] clicks = await ClicksAsync(name);

        Assert.Equal(6, clicks.Length);
        Assert.All(clicks.Select((at, i) => at - (24_000 + (48_000 * i))), off => Assert.InRange(off, -4.8, 4.8));
    }

    [Fact]
    public async Task OfABroadcastWave_TheTimeReferenceIsToldAndMovesNothing()
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", Clicks, "-c:a", "pcm_s24le", "-write_bext", "1",
            "-metadata", "time_reference=172800000", _folder.File("clicks.wav"));

        MediaInfo media = await ProbedAsync("clicks.wav");
        double[] clicks = await ClicksAsync("clicks.wav");

        Assert.Equal(172_800_000, media.TimeReference);
        Assert.Equal(24_000, clicks[0], 0.01);
    }

    /// <summary>
    /// The muxer keeps the delay in milliseconds as an empty edit, so 0.5 s lands up to 1 ms off; what counts is that our
    /// time line agrees with the presentation time stamps, which place the first packet.
    /// </summary>
    [Fact]
    public async Task OfSoundThatStartsLate_TheDelayIsKept()
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", Picture, "-itsoffset", "0.5", "-f", "lavfi", "-i", Clicks, "-map", "0:v", "-map", "1:a",
            "-c:v", "libx264", "-preset", "ultrafast", "-c:a", "aac", _folder.File("late.mp4"));

        MediaInfo media = await ProbedAsync("late.mp4");
        double[] clicks = await ClicksAsync("late.mp4");

        Assert.True(media.Audio[0].Start > MediaTime.FromSeconds(0.4));
        Assert.InRange(clicks[0] - 48_000, -48, 48);
    }

    [Fact]
    public async Task OfBFrames_PictureAndSoundStartTogether()
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", Picture, "-f", "lavfi", "-i", Clicks,
            "-c:v", "libx264", "-bf", "2", "-c:a", "aac", _folder.File("b.mp4"));

        MediaInfo media = await ProbedAsync("b.mp4");

        Assert.Equal(MediaTime.Zero, media.Video[0].Start);
        Assert.Equal(MediaTime.Zero, media.Audio[0].Start);
        Assert.Equal(MediaTime.Zero, media.Origin);
    }

    [Fact]
    public async Task OfSeveralMonoStreams_AllStandOnOneTimeLine()
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", Clicks, "-itsoffset", "0.25", "-f", "lavfi", "-i", Clicks,
            "-map", "0:a", "-map", "1:a", "-c:a", "pcm_s16le", _folder.File("two.mov"));

        MediaInfo media = await ProbedAsync("two.mov");
        (SoundCapture sound, _) = await SoundCapture.OfAsync(media);

        Assert.Equal(2, media.Channels);
        Assert.Equal(24_000, Peaks(sound.Full(0))[0], 0.01);
        Assert.InRange(Peaks(sound.Full(1))[0] - 36_000, -48, 48);
    }

    [Theory]
    [InlineData(44_100)]
    [InlineData(48_000)]
    [InlineData(96_000)]
    public async Task AtTheAnalysisRate_AClickStandsAtTheSameTime(int rate)
    {
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", $"aevalsrc='if(eq(mod(n,{rate}),{rate / 2}),0.9,0)':s={rate}:d=3",
            "-c:a", "pcm_s24le", _folder.File("rate.wav"));

        (SoundCapture sound, _) = await SoundCapture.OfAsync(await ProbedAsync("rate.wav"));

        double[] clicks = Peaks(sound.Analysis(0));
        Assert.Equal(3, clicks.Length);
        Assert.All(clicks.Select((at, i) => at - (8_000 + (16_000 * i))), off => Assert.InRange(off, -0.02, 0.02));
    }

    private async Task<MediaInfo> ProbedAsync(string name)
    {
        ProbeResult probed = await MediaProbe.ProbeAsync(_folder.Listed(name), CancellationToken.None);
        Assert.Null(probed.Problem);
        return probed.Media!;
    }

    private async Task<double[]> ClicksAsync(string name)
    {
        (SoundCapture sound, SoundReading reading) = await SoundCapture.OfAsync(await ProbedAsync(name));
        Assert.Null(reading.Problem);
        return Peaks(sound.Full(0));
    }

    /// <summary>Peaks above half of the highest, between samples, 0.1 s apart at least.</summary>
    private static double[] Peaks(float[] samples)
    {
        var peaks = new List<double>();
        float threshold = samples.Max() / 2;
        for (int i = 0; i < samples.Length; i++)
        {
            if (samples[i] < threshold)
            {
                continue;
            }

            int end = Math.Min(samples.Length, i + 1_600);
            int top = Enumerable.Range(i, end - i).MaxBy(n => samples[n]);
            peaks.Add(PeakInterpolation.Locate(samples, top));
            i = end;
        }

        return [.. peaks];
    }
}
