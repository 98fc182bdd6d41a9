using System.Collections.Immutable;
using System.Globalization;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Time;
using SyncBench.Timeline;

namespace SyncBench.Tests.Timeline;

/// <summary>What holds of every cut, tried on dumps drawn at random (seeded, so a failure comes again).</summary>
public class RandomCutTests
{
    private static readonly Rate[] FrameRates =
        [Rate.Fps25, new(24_000, 1_001), Rate.Ntsc30, new(24), new(50), new(60_000, 1_001), new(2_997, 100), new(120)];

    public static TheoryData<int> Seeds => [.. Enumerable.Range(1, 60)];

    [Theory]
    [MemberData(nameof(Seeds))]
    public void BothKindsOfFile_CanBeRead_AndNeverReachOutOfTheMedia(int seed)
    {
        TimelineModel timeline = TimelineBuilder.Build(Dump(new Random(seed)));

        using var stream = new MemoryStream();
        OtioWriter.Write(stream, timeline, "/results");
        OtioReader file = OtioReader.Read(stream.ToArray());
        decimal length = (decimal)timeline.Duration.Numerator / timeline.Duration.Denominator;
        Assert.All(file.Tracks, track => Assert.Equal(length, track.Duration, 15));
        Assert.All(file.Tracks.SelectMany(track => track.Clips), clip =>
        {
            Assert.True(clip.Source.Start >= clip.Available!.Start - 1e-15m, clip.Name);
            Assert.True(clip.Source.End <= clip.Available.End + 1e-15m, clip.Name);
        });

        foreach (EdlList list in EdlWriter.Lists(timeline))
        {
            EdlReader read = EdlReader.Read(list.Text, timeline.Numbering.FramesPerSecond);
            Assert.All(read.Cuts.Zip(read.Cuts.Skip(1)), pair => Assert.True(pair.First.RecordOut <= pair.Second.RecordIn));
        }
    }

    [Theory]
    [MemberData(nameof(Seeds))]
    public void EveryPiece_IsAsNearItsPlaceAsPromised(int seed)
    {
        TimelineModel timeline = TimelineBuilder.Build(Dump(new Random(seed)));

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
                Assert.InRange((wanted - (item.SourceStart + at)).ToSeconds(), -most - 3e-9, most + 3e-9);
            }
        }
    }

    /// <summary>One to three cameras of several clips and a recorder, each with a clock of its own.</summary>
    private static DumpResult Dump(Random random)
    {
        var placed = new List<Placement>();
        int cameras = random.Next(1, 4);
        for (int camera = 0; camera < cameras; camera++)
        {
            string device = string.Create(CultureInfo.InvariantCulture, $"CAM_{camera}");
            Rate rate = FrameRates[random.Next(FrameRates.Length)];
            double ppm = (random.NextDouble() - 0.5) * 400, at = random.NextDouble() * 30;
            for (int clip = 1; clip <= random.Next(1, 4); clip++)
            {
                double seconds = 0.5 + (random.NextDouble() * (random.Next(4) == 0 ? 3000 : 60));
                string? label = random.Next(3) == 0 ? null : random.Next(2) == 0 ? "23:59:50;02" : "10:00:00:03";
                MediaTime late = random.Next(3) == 0 ? CutExamples.Seconds(random.NextDouble() * 0.1) : MediaTime.Zero;
                placed.Add(CutExamples.Place(
                    CutExamples.Camera($"{device}/{clip}.MP4", device, device, rate, seconds, label, late), at, ppm));
                at += (seconds * (1 + (ppm * 1e-6))) + (random.NextDouble() * 3) - 0.0005;
            }
        }

        Clip recorder = CutExamples.Recorder("RECORDER/1.WAV", 20 + (random.NextDouble() * 3000), random.Next(2) == 0 ? null : random.Next());
        placed.Add(CutExamples.Place(recorder, random.NextDouble() * 30, (random.NextDouble() - 0.5) * 100));
        return CutExamples.Result(placed, Sound(placed, random));
    }

    /// <summary>Changes between two mics wherever both roll, and beyond.</summary>
    private static TakeSound Sound(List<Placement> placed, Random random)
    {
        MicSource[] mics = [.. placed.Select(p => new MicSource(p, p.Clip.Mics[^1]))];
        var take = new Take("take 1", placed[^1].CommonRange, [.. placed]);
        var segments = ImmutableArray.CreateBuilder<Segment>();
        MediaTime at = take.CommonRange.Start;
        while (at < take.CommonRange.End)
        {
            MediaTime end = at + CutExamples.Seconds(0.01 + (random.NextDouble() * 200));
            MicSource mic = mics[random.Next(mics.Length)];
            segments.Add(new Segment(TimeRange.Between(at, end).Intersect(take.CommonRange), mic, "drawn at random"));
            at = end;
        }

        return new TakeSound(take, segments.ToImmutable(), [], []);
    }
}
