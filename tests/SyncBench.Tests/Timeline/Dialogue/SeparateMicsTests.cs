using System.Collections.Immutable;
using System.Globalization;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Tests.Support;
using SyncBench.Time;
using SyncBench.Timeline;
using SyncBench.Timeline.Dialogue;
using Xunit.Abstractions;

namespace SyncBench.Tests.Timeline.Dialogue;

/// <summary>Files that are made of real sound: all mics in one, and the timeline as a reader plays it.</summary>
public sealed class SeparateMicsTests(DialogueScene scene, ITestOutputHelper output) : IClassFixture<DialogueScene>, IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task AllMicsOfATake_AreOnOneClock_EachOnAChannelThatItsNameTells()
    {
        using Rendered near = await scene.RenderAsync(scene.Middle, [scene.Lavalier]);
        string path = await MicsAsync(near);

        MediaInfo media = (await MediaProbe.ProbeAsync(
            new MediaFile("mics.wav", path, new FileInfo(path).Length), CancellationToken.None)).Media!;
        Assert.Equal(2, media.Channels);
        Assert.Equal(("lavalier (RECORDER channel 1)", "scratch (CAM_A channel 1)"), (media.ChannelName(0), media.ChannelName(1)));
        Assert.Equal(near.Sound.TimeReference, media.TimeReference);
        Assert.Equal((Rate.Fps25, false, near.Sound.TimeReference), (media.Notes!.Speed!.TimecodeRate, media.Notes.Speed.DropFrame, media.Notes.Speed.SamplesSinceMidnight));
        Assert.Equal("1", media.Notes.Take);

        // The camera's clock is 100 ppm off: over 24 s its sound would run 2.4 ms away.
        float[] lavalier = await OtioPlayer.SamplesAsync(path, 1), scratch = await OtioPlayer.SamplesAsync(path, 2);
        Assert.Equal(near.Sound.Track.Samples, lavalier.Length);
        double[] lags = [.. OtioPlayer.Lags(lavalier, scratch, 0, 8)];
        output.WriteLine(string.Join(" ", lags.Select(lag => lag.ToString("0.00", CultureInfo.InvariantCulture))));
        Assert.InRange(lags.Length, 4, 8);
        Assert.InRange(lags.Order().ElementAt(lags.Length / 2), -0.1, 0.1);

        string mediainfo = await Tool.OutputAsync("mediainfo", "--Full", path);
        Assert.Matches(@"Channel\(s\)\s+: 2", mediainfo);
    }

    /// <summary>Above two channels a wave file is to name its speakers (WAVE_FORMAT_EXTENSIBLE): a mic belongs to none. ffprobe reads it.</summary>
    [Fact]
    public async Task MoreThanTwoMics_BelongToNoSpeaker()
    {
        using Rendered near = await scene.RenderAsync(scene.Middle, [scene.Lavalier]);
        await using (FileStream file = File.Create(_folder.File("three.wav")))
        {
            DialogueFiles.WriteMics(file, [("a", near.Sound), ("b", near.Sound), ("c <&>", near.Sound)], near.Timeline, DateTimeOffset.UnixEpoch);
        }

        string ffprobe = await Tool.OutputAsync("ffprobe", "-v", "error", "-show_streams", _folder.File("three.wav"));
        Assert.Contains("channels=3\n", ffprobe, StringComparison.Ordinal);
        Assert.Contains("codec_name=pcm_s24le\n", ffprobe, StringComparison.Ordinal);
        Assert.Contains("channel_layout=unknown\n", ffprobe, StringComparison.Ordinal);
        Assert.Equal(await OtioPlayer.SamplesAsync(_folder.File("three.wav"), 1), await OtioPlayer.SamplesAsync(_folder.File("three.wav"), 3));
    }

    /// <summary>Read back by the file alone, the dialogue sounds when the dialogue file does, to a quarter of a frame (10 ms at 25).</summary>
    [Theory]
    [InlineData(25, 1, DriftCorrection.Cut)]
    [InlineData(25, 1, DriftCorrection.Warp)]
    [InlineData(24_000, 1_001, DriftCorrection.Cut)]
    [InlineData(50, 1, DriftCorrection.Cut)]
    public async Task TheTimelinePlayed_IsInSyncWithTheDialogueFile(int numerator, int denominator, DriftCorrection drift)
    {
        var rate = new Rate(numerator, denominator);
        double change = scene.Middle.Start.ToSeconds() + 11;
        using Rendered rendered = await scene.RenderAsync(scene.Middle, [scene.Lavalier, scene.Scratch], change);
        var settings = new TimelineSettings(rate.PerSecond, SoundDrift: drift, DriftFrames: drift == DriftCorrection.Warp ? 0.01 : 0.25);
        TimelineModel timeline = TimelineBuilder.Timelines(rendered.Result, settings).Single();
        using var written = new MemoryStream();
        OtioWriter.Write(written, timeline, _folder.Path);
        OtioSchema.AssertKeptBy(written.ToArray());
        OtioReader file = OtioReader.Read(written.ToArray());
        file.CheckArithmetic();
        Assert.Equal(drift == DriftCorrection.Warp, file.Tracks.SelectMany(t => t.Clips).Any(clip => clip.TimeScalar != 1));

        float[] played = await new OtioPlayer(file, _folder.Path).PlayAsync("Dialogue");
        float[] dialogue = await OtioPlayer.SamplesAsync(rendered.Path, 1);
        int start = (int)(rendered.Sound.CommonStart - timeline.Start).ToNearestUnit(Rate.Hz48000);
        double[] lags = [.. OtioPlayer.Lags([.. new float[Math.Max(0, start)], .. dialogue], played, Math.Max(0, start), 9)];

        output.WriteLine(string.Join(" ", lags.Select(lag => lag.ToString("0.00", CultureInfo.InvariantCulture))));
        Assert.InRange(lags.Length, 4, 9);
        Assert.All(lags, lag => Assert.InRange(lag, -250.0 / rate.PerSecond, 250.0 / rate.PerSecond));
    }

    private async Task<string> MicsAsync(Rendered near)
    {
        ImmutableArray<SeparateMic> mics = SeparateMics.Of(near.Sound.Take);
        ImmutableArray<DialogueSound> sounds = await DialogueRenderer.RenderAsync(
            [.. mics.Select(mic => DialogueScene.Mix(mic.Sound, near.Timeline, _folder.Path))], null, null, CancellationToken.None);
        await using FileStream file = File.Create(_folder.File("mics.wav"));
        DialogueFiles.WriteMics(file, [.. mics.Select(mic => mic.Name).Zip(sounds)], near.Timeline, DateTimeOffset.UnixEpoch);
        foreach (DialogueSound sound in sounds)
        {
            sound.Dispose();
        }

        return _folder.File("mics.wav");
    }
}
