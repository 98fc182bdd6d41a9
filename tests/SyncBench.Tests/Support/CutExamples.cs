using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Tests.Support;

/// <summary>An hour at the ropewalk as results by hand: two cameras that drift against a recorder.</summary>
internal static class CutExamples
{
    internal const double CameraPpm = 45;

    internal static DumpResult Hour(
        Rate? frameRate = null, string? timecode = null, string wideFile = "CAM_A/A001C001.MP4", double wideSeconds = 3600)
    {
        Rate rate = frameRate ?? Rate.Fps25;
        Clip wide = Camera(wideFile, "CAM_A", "wide", rate, wideSeconds, timecode);
        Clip close = Camera("CAM_B/B001C001.MOV", "CAM_B", "close", rate, 3500, null);
        Clip recorder = Recorder("RECORDER/TALLOWICK_001.WAV", 3700);
        Placement[] placed =
        [
            Place(recorder, 0, 0), Place(wide, 12.3456789, CameraPpm), Place(close, 20.011, -30),
        ];
        var lavalier = new MicSource(placed[0], recorder.Mics[0]);
        var shotgun = new MicSource(placed[1], wide.Mics[1]);
        var take = new Take("take 1", TimeRange.Between(Seconds(12.3456789), Seconds(12 + wideSeconds)), [.. placed]);
        ImmutableArray<Segment> segments =
        [
            new(TimeRange.Between(take.CommonRange.Start, Seconds(100.013)), lavalier, "lavalier: both clean"),
            new(TimeRange.Between(Seconds(100.013), Seconds(130.5)), shotgun, "shotgun: lavalier has cloth rustle"),
            new(TimeRange.Between(Seconds(130.5), take.CommonRange.End), lavalier, "lavalier: both clean"),
        ];
        var fault = new Fault(FaultKind.Rustle, lavalier, TimeRange.Between(Seconds(100.1), Seconds(130.2)));
        FileOutcome[] files = [.. placed.Select(p => new FileOutcome(p.Clip.File, p.Clip, Outcome.Placed, p, "test"))];
        return new DumpResult(
            "ropewalk-day2", "/dumps/ropewalk-day2", new DateTimeOffset(2026, 11, 25, 12, 0, 0, TimeSpan.Zero),
            [.. files], [], [new TakeSound(take, segments, [fault], [])]);
    }

    private static MediaTime Seconds(double seconds) => MediaTime.FromSeconds(seconds);

    private static Placement Place(Clip clip, double offset, double ppm) => new(
        clip, new ClockMap(Seconds(offset), ppm), 0.1, Seconds(0.00001), 1, null, 0, [],
        [.. clip.Mics.Select((mic, i) => new MicDelay(mic, Seconds(-0.006 * i), true))]);

    private static Clip Camera(string file, string device, string angle, Rate rate, double seconds, string? timecode)
    {
        MediaTime length = MediaTime.FromUnits(Seconds(seconds).ToNearestUnit(rate), rate);
        var media = new MediaInfo(
            File(file), "mov", MediaTime.Zero, length,
            [new VideoStream(0, "h264", rate, 640, 360, MediaTime.Zero, length)],
            [new AudioStream(1, "aac", 48_000, 2, MediaTime.Zero, length)], timecode, null, null);
        return new Clip(
            media, new Device(device, DeviceKind.Camera, angle, null),
            [new MicChannel(0, MicRole.Scratch), new MicChannel(1, MicRole.Shotgun)], "test");
    }

    private static Clip Recorder(string file, double seconds)
    {
        var media = new MediaInfo(
            File(file), "wav", MediaTime.Zero, Seconds(seconds), [],
            [new AudioStream(0, "pcm_s24le", 48_000, 1, MediaTime.Zero, Seconds(seconds))], null, 172_800_000, null);
        return new Clip(
            media, new Device("RECORDER", DeviceKind.Recorder, null, null), [new MicChannel(0, MicRole.Lavalier)], "test");
    }

    private static MediaFile File(string path) => new(path, "/dumps/ropewalk-day2/" + path, 1);
}
