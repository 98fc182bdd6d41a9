using System.Collections.Immutable;
using System.Globalization;
using System.Text.RegularExpressions;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Time;
using SyncBench.Timeline;
using SyncBench.Timeline.Dialogue;
using Xunit.Abstractions;

namespace SyncBench.Tests.Timeline.Dialogue;

public class DialogueRendererTests(DialogueScene scene, ITestOutputHelper output) : IClassFixture<DialogueScene>
{
    private const int RateHz = 48_000;

    [Fact]
    public async Task TheFile_StartsOnAFrameOfTheTimeline_AndIsAsLongAsTheTake()
    {
        using Rendered rendered = await scene.RenderAsync(scene.Middle, [scene.Lavalier]);
        (DialogueSound sound, TimelineModel timeline, string path) = rendered;

        MediaTime onTimeline = sound.CommonStart - timeline.Start;
        Assert.Equal(onTimeline, MediaTime.FromUnits(onTimeline.ToNearestUnit(Rate.Fps25), Rate.Fps25));
        Assert.InRange(Math.Abs((sound.CommonStart - scene.Middle.Start).ToSeconds()), 0, 0.02);
        Assert.Equal(0, sound.Track.Samples % 1920);
        Assert.InRange(Math.Abs((sound.Track.Samples / 48_000.0) - scene.Middle.Duration.ToSeconds()), 0, 0.04);
        Assert.Equal((3600 * 48_000L) + onTimeline.ToNearestUnit(Rate.Hz48000), sound.TimeReference);

        MediaInfo written = (await MediaProbe.ProbeAsync(
            new MediaFile("take.wav", path, new FileInfo(path).Length), CancellationToken.None)).Media!;
        Assert.Equal(sound.TimeReference, written.TimeReference);
        Assert.Equal(sound.Track.Samples, written.Duration.ToNearestUnit(Rate.Hz48000));
    }

    /// <summary>
    /// Each mic alone, all through: in every turn of the subject, by whose voice clips are placed, the same word stands at
    /// the same sample. The camera's clock is 100 ppm off, so without correction its end would be 2.4 ms away.
    /// </summary>
    [Fact]
    public async Task BothMics_LieWithinATenthOfAMillisecond_WhereverTheSubjectSpeaks()
    {
        using Rendered near = await scene.RenderAsync(scene.Middle, [scene.Lavalier]);
        using Rendered far = await scene.RenderAsync(scene.Middle, [scene.Scratch]);
        float[] left = near.Samples(), right = far.Samples();
        int zero = (int)near.Sound.CommonStart.ToNearestUnit(Rate.Hz48000), measured = 0;
        foreach (SpokenTurn turn in scene.Truth.Turns.Where(turn => turn.Speaker == Speaker.Subject))
        {
            int from = Math.Max(0, turn.Start - zero), to = Math.Min(left.Length, turn.End - zero);
            if (to - from > 2 * RateHz)
            {
                double lag = Lag(left.AsSpan(from..to), right.AsSpan(from..to)) * 1000 / RateHz;
                output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{from / RateHz} to {to / RateHz} s: {lag:+0.0000;-0.0000} ms"));
                Assert.InRange(lag, -0.1, 0.1);
                measured++;
            }
        }

        Assert.True(measured >= 2);
    }

    [Fact]
    public async Task Changes_AreCrossfaded_AtOneLevel()
    {
        double a = scene.Middle.Start.ToSeconds() + 8, b = a + 8;
        using Rendered rendered = await scene.RenderAsync(
            scene.Middle, [scene.Lavalier, scene.Scratch, scene.Lavalier], a, b);
        DialogueSound sound = rendered.Sound;

        Assert.Equal(2, sound.Changes.Length);
        foreach ((DialogueChange change, double at) in sound.Changes.Zip([a, b]))
        {
            double middle = sound.CommonStart.ToSeconds() + ((change.First + (change.Samples / 2)) / 48_000.0);
            Assert.Equal(at, middle, 0.001);
            Assert.InRange(change.Samples, 480, 2400);
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"correlation {change.Correlation:0.00}"));
        }

        // The camera's mic stands 6 dB lower in its file. Against the lavalier alone, while the camera is heard:
        using Rendered near = await scene.RenderAsync(scene.Middle, [scene.Lavalier]);
        Range heard = (int)(sound.Changes[0].First + 1920)..(int)sound.Changes[1].First;
        double level = 10 * Math.Log10(Power(rendered.Samples()[heard]) / Power(near.Samples()[heard]));
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"level {level:+0.00;-0.00} dB"));
        Assert.InRange(level, -1.5, 1.5);
    }

    /// <summary>On the reference clock and on whole samples nothing is left for the resampler to do.</summary>
    [Fact]
    public async Task TheReference_ComesOutAsItIsInItsFile()
    {
        using Rendered take = await scene.RenderAsync(scene.Middle, [scene.Lavalier]);
        float[] rendered = take.Samples();
        double first = take.Sound.CommonStart.ToSeconds() * RateHz;

        // Whole seconds of it against an independent interpolator (tests/SyncBench.Scenes), away from the fades.
        var sinc = new WindowedSinc();
        for (int n = 2 * RateHz; n < 3 * RateHz; n++)
        {
            Assert.Equal(sinc.At(scene.Truth.Recorder, first + n), rendered[n], 2e-5f);
        }
    }

    [Fact]
    public async Task WhereNoMicRolls_ThereIsSilence()
    {
        TimeRange range = scene.Middle;
        TimeRange early = TimeRange.Between(range.Start, range.Start + MediaTime.FromSeconds(4));
        TimeRange late = TimeRange.Between(range.Start + MediaTime.FromSeconds(6), range.End);
        using Rendered take = await scene.RenderAsync(
            range, [new Segment(early, scene.Lavalier, "test"), new Segment(late, scene.Scratch, "test")]);
        float[] rendered = take.Samples();

        Assert.All(rendered[((4 * RateHz) + 2000)..((6 * RateHz) - 2000)], x => Assert.Equal(0, x));
        Assert.True(Power(rendered[..(4 * RateHz)]) > 1e-6);
        Assert.True(Power(rendered[(6 * RateHz)..]) > 1e-6);
    }

    /// <summary>The share that vanishes between the analysis and the dialogue leaves silence, but not in silence.</summary>
    [Fact]
    public async Task AClipThatHasGoneMeanwhile_IsTold()
    {
        using Rendered take = await scene.RenderAsync(scene.Middle, [scene.Lavalier, scene.Scratch], 12);
        Clip gone = await scene.ClipAsync("gone.wav", scene.Truth.Recorder, scene.Recorder.Clip.Device, MicRole.Lavalier);
        Placement placement = DialogueScene.Place(gone, scene.Recorder.Map);
        TakeSound sound = take.Result.Takes[0];
        sound = sound with { Segments = [sound.Segments[0] with { Source = new MicSource(placement, gone.Mics[0]) }, sound.Segments[1]] };
        File.Delete(gone.File.FullPath);
        List<(Clip Clip, string Problem)> lost = [];

        ImmutableArray<DialogueSound> rendered = await DialogueRenderer.RenderAsync(
            [DialogueScene.Mix(sound, take.Timeline, Path.GetDirectoryName(take.Path)!)], (clip, problem) => lost.Add((clip, problem)), null, CancellationToken.None);

        Assert.Equal(gone, Assert.Single(lost).Clip);
        Assert.Contains("No such file", lost[0].Problem, StringComparison.Ordinal);
        Assert.Single(rendered).Dispose();
    }

    /// <summary>ffmpeg's ebur128 measures the written file; its gain is said in the coding history.</summary>
    [Fact]
    public async Task ALoudRecording_IsLoweredToMinus1DbTruePeak_AndNotClipped()
    {
        float highest = scene.Truth.Recorder.Max(Math.Abs);
        Clip loud = await scene.ClipAsync(
            "loud.wav", [.. scene.Truth.Recorder.Select(x => x / highest)],
            new Device("RECORDER 2", DeviceKind.Recorder, null, null), MicRole.Lavalier);
        Placement placement = DialogueScene.Place(loud, scene.Recorder.Map);
        using Rendered take = await scene.RenderAsync(scene.Middle, [new MicSource(placement, loud.Mics[0])]);
        string measured = await Tool.OutputAsync(
            "ffmpeg", "-nostdin", "-hide_banner", "-i", take.Path, "-af", "ebur128=peak=true", "-f", "null", "-");
        string history = await Tool.OutputAsync("ffprobe", "-v", "error", "-show_entries", "format_tags=coding_history", take.Path);

        double peak = Number(Regex.Match(measured, @"Peak:\s+(-?[\d.]+) dBFS").Groups[1].Value);
        double loudness = Number(Regex.Matches(measured, @"I:\s+(-?[\d.]+) LUFS")[^1].Groups[1].Value);
        Assert.InRange(peak, -1.4, -1);
        Assert.Equal(loudness, take.Sound.Loudness.IntegratedLufs, 0.1);
        Assert.Contains("lowered", history, StringComparison.Ordinal);
    }

    [Fact]
    public async Task ARecordingInTwoFiles_GoesOnWithoutASeam()
    {
        int cut = 12 * RateHz;
        Clip first = await scene.ClipAsync("r1.wav", scene.Truth.Recorder[..cut], scene.Recorder.Clip.Device, MicRole.Lavalier);
        Clip second = await scene.ClipAsync("r2.wav", scene.Truth.Recorder[cut..], scene.Recorder.Clip.Device, MicRole.Lavalier);
        MicSource one = new(DialogueScene.Place(first, new ClockMap(MediaTime.Zero, 0)), first.Mics[0]);
        MicSource two = new(DialogueScene.Place(second, new ClockMap(MediaTime.FromSeconds(12), 0)), second.Mics[0]);

        using Rendered whole = await scene.RenderAsync(scene.Middle, [scene.Lavalier]);
        using Rendered joined = await scene.RenderAsync(scene.Middle, [one, two], 12);
        float[] expected = whole.Samples(), actual = joined.Samples();

        // Within a filter's length of the seam each file ends in silence for the resampler.
        int seam = (int)((12 - whole.Sound.CommonStart.ToSeconds()) * RateHz);
        for (int n = 1000; n < expected.Length - 1000; n++)
        {
            Assert.Equal(expected[n], actual[n], Math.Abs(n - seam) < 60 ? 0.05f : 1e-5f);
        }

        Assert.Empty(joined.Sound.Changes);
    }

    [Fact]
    public async Task AroundEachChange_ThereIsAFileToListenTo_NearOnesTogether()
    {
        double at = scene.Middle.Start.ToSeconds();
        using Rendered take = await scene.RenderAsync(
            scene.Middle, [scene.Lavalier, scene.Scratch, scene.Lavalier, scene.Scratch], at + 4, at + 7, at + 17);
        (string Path, long First, long Count)[] files = [.. DialogueFiles.AroundChanges(take.Sound)];

        Assert.Equal(["dialogue/changes/take-1-0-00-04.wav", "dialogue/changes/take-1-0-00-17.wav"], files.Select(file => file.Path));
        Assert.Equal(9, files[0].Count / 48_000.0, 0.1);
        Assert.Equal(6, files[1].Count / 48_000.0, 0.1);
    }

    /// <summary>Samples by which the right one is later, by the peak of the cross-correlation and a parabola through it.</summary>
    private static double Lag(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        const int Most = 96;
        var sums = new double[(2 * Most) + 1];
        for (int lag = -Most; lag <= Most; lag++)
        {
            for (int n = Most; n < left.Length - Most; n++)
            {
                sums[lag + Most] += (double)left[n] * right[n + lag];
            }
        }

        int peak = Array.IndexOf(sums, sums.Max());
        double before = sums[peak - 1], after = sums[peak + 1];
        return peak - Most + ((before - after) / 2 / (before - (2 * sums[peak]) + after));
    }

    private static double Power(float[] sound) => sound.Average(x => (double)x * x);

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
