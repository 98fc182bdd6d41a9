using System.Collections.Immutable;
using System.Globalization;
using FsCheck;
using FsCheck.Fluent;
using FsCheck.Xunit;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Time;
using SyncBench.Timeline;

namespace SyncBench.Tests.Timeline;

/// <summary>What holds of every cut, tried on dumps drawn by FsCheck (from one seed, so that a failure comes again).</summary>
[Properties(Arbitrary = [typeof(RandomDumps)], MaxTest = 60, Replay = "20261125,1")]
public class RandomCutTests
{
    [Property]
    public void ATimelineFile_NeverReachesOutOfTheMedia_AndNothingOverlaps(RandomDump dump, bool nested, bool warped)
    {
        var settings = new TimelineSettings(
            Takes: nested ? TakeLayout.Nested : TakeLayout.Flat, SoundDrift: warped ? DriftCorrection.Warp : DriftCorrection.Cut);
        foreach (TimelineModel timeline in TimelineBuilder.Timelines(dump.Result(), settings))
        {
            using var stream = new MemoryStream();
            OtioWriter.Write(stream, timeline, "/results");
            OtioReader file = OtioReader.Read(stream.ToArray());
            file.CheckArithmetic();
            Assert.All(file.Tracks, track => Assert.Equal((decimal)timeline.Duration.Numerator / timeline.Duration.Denominator, track.Duration, 15));
        }
    }

    /// <summary>What the layout holds comes back to the character; what it says lies where the cut has it.</summary>
    [Property]
    public void AList_ComesBackAsItWas(RandomDump dump)
    {
        TimelineModel timeline = TimelineBuilder.Build(dump.Result());
        foreach (EdlList list in EdlWriter.Lists(timeline))
        {
            EdlReader read = EdlReader.Read(list.Text, timeline.Numbering.FramesPerSecond);
            Assert.Equal(list.Text, read.Write());
            Assert.All(read.Cuts.Zip(read.Cuts.Skip(1)), pair => Assert.True(pair.First.RecordOut <= pair.Second.RecordIn));
            Assert.All(read.Cuts, cut => Assert.Contains(timeline.Tracks.SelectMany(track => track.Items), item =>
                item.Clip.File.Path == cut.SourceFile
                && Math.Abs(timeline.FirstFrame + item.RecordRange.Start.ToNearestUnit(timeline.FrameRate) - cut.RecordIn) <= 2
                && timeline.FirstFrame + item.RecordRange.End.ToNearestUnit(timeline.FrameRate) >= cut.RecordOut));
        }
    }

    [Property]
    public void EveryPiece_IsAsNearItsPlaceAsPromised(RandomDump dump, bool warped)
    {
        var settings = new TimelineSettings(SoundDrift: warped ? DriftCorrection.Warp : DriftCorrection.Cut);
        TimelineModel timeline = TimelineBuilder.Timelines(dump.Result(), settings).Single();

        foreach (TimelineItem item in timeline.Tracks.SelectMany(track => track.Items))
        {
            Rate frames = item.Mic is null && TimecodeFormat.Standard(item.Clip.Media.Video[0].FrameRate) is { } own
                ? own : timeline.FrameRate;
            double most = (item.Mic is null ? 0.5 : 0.25) / frames.PerSecond;
            MediaTime last = item.RecordRange.Duration - (item.Mic is null ? timeline.FrameRate.Unit : MediaTime.Zero);
            foreach (MediaTime at in new[] { MediaTime.Zero, last })
            {
                MediaTime common = timeline.Start + item.RecordRange.Start + at;
                MediaTime wanted = item.Mic is null
                    ? item.Placement.Map.ToClip(common) : item.Placement.ToMicTime(item.Mic, common);
                Assert.InRange((wanted - item.SourceAt(at)).ToSeconds(), -most - 3e-9, most + 3e-9);
            }
        }
    }
}

/// <param name="Pause">Seconds after it until the next of its camera; a little below zero where two overlap.</param>
public sealed record RandomClip(double Seconds, double Pause, string? Label, double PictureLate);

public sealed record RandomCamera(Rate Rate, double Ppm, double Start, RandomClip[] Clips);

/// <param name="Segments">Which mic, and for how long.</param>
/// <summary>One to three cameras of several clips and a recorder, each with a clock of its own; changes of mic at any time.</summary>
public sealed record RandomDump(
    RandomCamera[] Cameras, double RecorderSeconds, double RecorderStart, double RecorderPpm, long? TimeReference,
    (int Mic, double Seconds)[] Segments)
{
    internal DumpResult Result()
    {
        var placed = new List<Placement>();
        for (int camera = 0; camera < Cameras.Length; camera++)
        {
            string device = string.Create(CultureInfo.InvariantCulture, $"CAM_{camera}");
            double at = Cameras[camera].Start;
            foreach (RandomClip clip in Cameras[camera].Clips)
            {
                placed.Add(CutExamples.Place(
                    CutExamples.Camera(
                        string.Create(CultureInfo.InvariantCulture, $"{device}/{placed.Count}.MP4"), device, device,
                        Cameras[camera].Rate, clip.Seconds, clip.Label, CutExamples.Seconds(clip.PictureLate)),
                    at, Cameras[camera].Ppm));
                at += (clip.Seconds * (1 + (Cameras[camera].Ppm * 1e-6))) + clip.Pause;
            }
        }

        placed.Add(CutExamples.Place(
            CutExamples.Recorder("RECORDER/1.WAV", RecorderSeconds, TimeReference), RecorderStart, RecorderPpm));
        return CutExamples.Result(placed, Sound(placed));
    }

    /// <summary>Changes between mics wherever they roll, and beyond.</summary>
    private TakeSound Sound(List<Placement> placed)
    {
        var take = new Take("take 1", placed[^1].CommonRange, [.. placed]);
        var segments = ImmutableArray.CreateBuilder<Segment>();
        MediaTime at = take.CommonRange.Start;
        foreach ((int mic, double seconds) in Segments)
        {
            Placement source = placed[mic % placed.Count];
            MediaTime end = at + CutExamples.Seconds(seconds);
            TimeRange range = TimeRange.Between(at, end).Intersect(take.CommonRange);
            if (!range.IsEmpty)
            {
                segments.Add(new Segment(range, new MicSource(source, source.Clip.Mics[mic % source.Clip.Mics.Length]), "drawn at random"));
            }

            at = end;
        }

        return new TakeSound(take, segments.ToImmutable(), [], []);
    }
}

/// <summary>How such dumps are drawn.</summary>
public static class RandomDumps
{
    private static readonly Rate[] FrameRates =
    [
        Rate.Fps25, new(24_000, 1_001), Rate.Ntsc30, new(24), new(30), new(50), new(60_000, 1_001), new(60), new(2_997, 100), new(120),
    ];

    public static Arbitrary<RandomDump> Dumps() => Arb.From(
        from cameras in Camera.ArrayOf(3)
        from count in Gen.Choose(1, 3)
        from recorder in Between(20, 3000)
        from start in Between(0, 30)
        from ppm in Between(-50, 50)
        from reference in Gen.Choose(-1, int.MaxValue - 1)
        from segments in Segment.ArrayOf(20)
        select new RandomDump(cameras[..count], recorder, start, ppm, reference < 0 ? null : reference, segments));

    private static Gen<(int Mic, double Seconds)> Segment =>
        from mic in Gen.Choose(0, 100)
        from seconds in Between(0.01, 200)
        select (mic, seconds);

    private static Gen<RandomCamera> Camera =>
        from rate in Gen.Elements(FrameRates)
        from ppm in Between(-200, 200)
        from start in Between(0, 30)
        from count in Gen.Choose(1, 3)
        from clips in Clip.ArrayOf(3)
        select new RandomCamera(rate, ppm, start, clips[..count]);

    private static Gen<RandomClip> Clip =>
        from isLong in Gen.Choose(0, 3)
        from seconds in Between(0.5, isLong == 0 ? 3000 : 60)
        from pause in Between(-0.0005, 3)
        from label in Gen.Elements("23:59:50;02", "10:00:00:03", string.Empty)
        from isLate in Gen.Choose(0, 2)
        from late in Between(0, 0.1)
        select new RandomClip(seconds, pause, label.Length == 0 ? null : label, isLate == 0 ? late : 0);

    private static Gen<double> Between(double least, double most) =>
        Gen.Choose(0, 1_000_000).Select(share => least + ((most - least) * share / 1e6));
}
