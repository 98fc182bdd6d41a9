using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Tests.Support;

/// <summary>Results of the ropewalk made by hand: what a run would hand on to the writers.</summary>
internal static class CutExamples
{
    internal const double CameraPpm = 45;

    private const string Root = "/dumps/ropewalk-day2";

    /// <summary>An hour: two cameras that drift against a recorder, one change to the shotgun and back.</summary>
    internal static DumpResult Hour(
        Rate? frameRate = null, string? timecode = null, string wideFile = "CAM_A/A001C001.MP4", double wideSeconds = 3600)
    {
        Rate rate = frameRate ?? Rate.Fps25;
        Clip wide = Camera(wideFile, "CAM_A", "wide", rate, wideSeconds, timecode);
        Clip close = Camera("CAM_B/B001C001.MOV", "CAM_B", "close", rate, 3500);
        Clip recorder = Recorder("RECORDER/TALLOWICK_001.WAV", 3700, timeReference: 172_800_000);
        Placement[] placed =
        [
            Place(recorder, 0, 0), Place(wide, 12.3456789, CameraPpm), Place(close, 20.011, -30),
        ];
        var lavalier = new MicSource(placed[0], recorder.Mics[0]);
        var shotgun = new MicSource(placed[1], wide.Mics[1]);
        var take = new Take("take 1", Between(12.3456789, 12 + wideSeconds), [.. placed]);
        ImmutableArray<Segment> segments =
        [
            new(TimeRange.Between(take.CommonRange.Start, Seconds(100.013)), lavalier, "lavalier: both clean"),
            new(Between(100.013, 130.5), shotgun, "shotgun: lavalier has rustle"),
            new(TimeRange.Between(Seconds(130.5), take.CommonRange.End), lavalier, "lavalier: both clean"),
        ];
        var fault = new Fault(FaultKind.Rustle, lavalier, Between(100.1, 130.2));
        return Result(placed, new TakeSound(take, segments, [fault], []));
    }

    /// <summary>Four seconds without drift, small enough to be read as a whole: camera from 10:00:00:00, recorder.</summary>
    internal static DumpResult Short()
    {
        Clip wide = Camera("CAM_A/A001C001.MP4", "CAM_A", "wide", Rate.Fps25, 4, "10:00:00:00");
        Clip recorder = Recorder("RECORDER/TALLOWICK_001.WAV", 6, timeReference: null);
        Placement[] placed = [Place(recorder, 0, 0), Place(wide, 1, 0)];
        var lavalier = new MicSource(placed[0], recorder.Mics[0]);
        var shotgun = new MicSource(placed[1], wide.Mics[1]);
        var take = new Take("take 1", Between(1, 5), [.. placed]);
        return Result(placed, new TakeSound(
            take,
            [
                new(Between(1, 2.5), lavalier, "lavalier: both clean"),
                new(Between(2.5, 5), shotgun, "shotgun: lavalier has rustle"),
            ],
            [new Fault(FaultKind.Rustle, lavalier, Between(2.6, 4))],
            []));
    }

    /// <summary>A recorder that runs through, a camera that rolls twice with it and once after it.</summary>
    internal static DumpResult TwoTakes(Rate rate, string? timecode)
    {
        Clip recorder = Recorder("RECORDER/TALLOWICK_001.WAV", 400, timeReference: 172_800_000);
        Placement[] placed =
        [
            Place(recorder, 0, 0),
            Place(Camera("CAM_A/A001C001.MP4", "CAM_A", "wide", rate, 100, timecode), 20.0123, CameraPpm),
            Place(Camera("CAM_A/A001C002.MP4", "CAM_A", "wide", rate, 100, timecode), 180.777, CameraPpm),
            Place(Camera("CAM_A/A001C003.MP4", "CAM_A", "wide", rate, 30, timecode), 500.5, CameraPpm),
        ];
        var lavalier = new MicSource(placed[0], recorder.Mics[0]);
        TakeSound Take(string name, Placement camera, string reason)
        {
            var take = new Take(name, camera.CommonRange, [placed[0], camera]);
            return new TakeSound(take, [new Segment(take.CommonRange, lavalier, reason)], [], []);
        }

        return Result(placed, Take("take 1", placed[1], "middle"), Take("take 2", placed[2], "late"));
    }

    /// <summary>Three files of one recorder, the second and third of which go on to the sample, in one take with a camera.</summary>
    internal static DumpResult Split(double ppm, Rate rate, int[] samples)
    {
        Placement wide = Place(Camera("CAM_A/A001C001.MP4", "CAM_A", "wide", rate, samples.Sum(n => n / 48_000.0) + 2), 0, 0);
        var placed = new List<Placement> { wide };
        MediaTime at = Seconds(1.0123456);
        foreach (int count in samples)
        {
            string file = string.Create(System.Globalization.CultureInfo.InvariantCulture, $"RECORDER/TALLOWICK_{placed.Count:000}.WAV");
            Clip part = Recorder(file, 1);
            MediaTime length = MediaTime.FromUnits(count, Rate.Hz48000);
            part = part with
            {
                Media = part.Media with { Duration = length, Audio = [part.Media.Audio[0] with { Duration = length }] },
            };
            placed.Add(Place(part, 0, 0) with
            {
                Map = new ClockMap(at, ppm), Continues = placed.Count == 1 ? null : placed[^1].Clip.File,
            });
            at = placed[^1].CommonRange.End;
        }

        // Mics are chosen on a grid of 10 ms.
        var take = new Take("take 1", TimeRange.Between(placed[1].CommonRange.Start, at), [.. placed]);
        MediaTime Edge(MediaTime time) => Seconds(Math.Round(time.ToSeconds() * 100) / 100);
        return Result(placed, new TakeSound(
            take,
            [
                .. placed.Skip(1).Select(part => new Segment(
                    TimeRange.Between(Edge(part.CommonRange.Start), Edge(part.CommonRange.End)),
                    new MicSource(part, part.Clip.Mics[0]), "lavalier: alone")),
            ],
            [],
            []));
    }

    internal static DumpResult Result(IEnumerable<Placement> placed, params TakeSound[] takes) => new(
        "ropewalk-day2", Root, new DateTimeOffset(2026, 11, 25, 12, 0, 0, TimeSpan.Zero),
        [.. placed.Select(p => new FileOutcome(p.Clip.File, p.Clip, Outcome.Placed, p, "test"))], [], [.. takes]);

    /// <summary>Every mic after the first hears 6 ms earlier than the one before it.</summary>
    internal static Placement Place(Clip clip, double offset, double ppm) => new(
        clip, new ClockMap(Seconds(offset), ppm), 0.1, Seconds(0.00001), 1, null, 0, [],
        [.. clip.Mics.Select((mic, i) => new MicDelay(mic, Seconds(-0.006 * i), true))]);

    /// <param name="pictureLate">By how much the first frame comes after the first sample.</param>
    internal static Clip Camera(
        string file, string device, string angle, Rate rate, double seconds, string? timecode = null,
        MediaTime pictureLate = default)
    {
        MediaTime length = MediaTime.FromUnits(Seconds(seconds).ToNearestUnit(rate), rate);
        var media = new MediaInfo(
            File(file), "mov,mp4,m4a,3gp,3g2,mj2", MediaTime.Zero, length + pictureLate,
            [new VideoStream(0, "h264", rate, 640, 360, pictureLate, length)],
            [new AudioStream(1, "aac", 48_000, 2, MediaTime.Zero, length)], timecode, null, null);
        return new Clip(
            media, new Device(device, DeviceKind.Camera, angle, null),
            [new MicChannel(0, MicRole.Scratch), new MicChannel(1, MicRole.Shotgun)], "test");
    }

    internal static Clip Recorder(string file, double seconds, long? timeReference = null, int sampleRateHz = 48_000)
    {
        var media = new MediaInfo(
            File(file), "wav", MediaTime.Zero, Seconds(seconds), [],
            [new AudioStream(0, "pcm_s24le", sampleRateHz, 1, MediaTime.Zero, Seconds(seconds))], null, timeReference, null);
        return new Clip(
            media, new Device("RECORDER", DeviceKind.Recorder, null, null), [new MicChannel(0, MicRole.Lavalier)], "test");
    }

    internal static MediaTime Seconds(double seconds) => MediaTime.FromSeconds(seconds);

    internal static TimeRange Between(double from, double to) => TimeRange.Between(Seconds(from), Seconds(to));

    private static MediaFile File(string path) => new(path, $"{Root}/{path}", 1);
}
