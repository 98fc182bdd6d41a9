using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Selection.Speakers;
using SyncBench.Time;

namespace SyncBench.Tests.Support;

/// <summary>A dump whose names and figures are as bad as a card may make them.</summary>
internal static class HostileDump
{
    /// <summary>Names that break tables, pages or spreadsheets; every one is a legal file name on some card.</summary>
    internal static ImmutableArray<string> Names { get; } =
    [
        "=cmd|' /C calc'!A0", "+1+2", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "-", "'", "''", "\"", "\"\"", "\"=1\"",
        "a,b", "a;b", "line\r\nbreak", "line\nbreak", "line\rbreak", " leading and trailing ", "\u0001control",
        "<script>alert(1)</script>", "]]>&amp;", "\U0001F3A5 кино 撮影 \u202Eexe", "e\u0301", "١٢٣", "1,5", "1e5",
    ];

    internal static DumpResult Make()
    {
        Clip recorder = Sound("RECORDER/TALLOWICK_001.WAV", "RECORDER");
        Placement reference = Place(recorder, offset: 0, ppm: 0, certainty: 1);
        Placement early = Place(Sound("EARLY.WAV", "=EARLY()"), offset: -12.5, ppm: -48.25, certainty: double.NaN);
        var take = new Take("=take()", TimeRange.Between(Seconds(-2.5), Seconds(30)), [early, reference]);
        var source = new MicSource(early, early.Clip.Mics[0]);
        ImmutableArray<Segment> segments = [.. Names.Select(name => new Segment(take.CommonRange, source, name))];
        var curve = new MicCurve(
            source, take.CommonRange.Start, Seconds(0.25),
            [float.NaN, float.NegativeInfinity, -20], [float.NaN, float.PositiveInfinity, -60], [float.NaN, 0, -3]);
        return new DumpResult(
            "=dump()", "/dumps/=dump()", new DateTimeOffset(2026, 11, 25, 12, 0, 0, TimeSpan.FromHours(1)),
            [
                Placed(reference), Placed(early),
                .. Names.Select(name => new FileOutcome(
                    new MediaFile(name, "/dumps/" + name, 1), null, Outcome.Unreadable, null, name)),
            ],
            [new DeviceClock(early.Clip.Device, -48.25, double.PositiveInfinity, IsReference: false)],
            [new TakeSound(take, segments, [new Fault(FaultKind.Wind, source, take.CommonRange)], [curve])
            {
                Talk = new Talk([], [new Turn(TurnKind.Answer, take.CommonRange, take.CommonRange.Start, MayBeRestart: true)], CannotTell: null),
            }]);
    }

    private static MediaTime Seconds(double seconds) => MediaTime.FromSeconds(seconds);

    private static FileOutcome Placed(Placement placement) =>
        new(placement.Clip.File, placement.Clip, Outcome.Placed, placement, "sound matches RECORDER");

    private static Placement Place(Clip clip, double offset, double ppm, double certainty) => new(
        clip, new ClockMap(Seconds(offset), ppm), double.NaN, Seconds(0.00001), certainty, null, 0,
        [new LagVote(Seconds(1), Seconds(-0.0001), Counted: true)], []);

    private static Clip Sound(string path, string device)
    {
        MediaTime length = Seconds(60);
        var media = new MediaInfo(
            new MediaFile(path, "/dumps/" + path, 1), "wav", MediaTime.Zero, length, [],
            [new AudioStream(0, "pcm_s24le", 48_000, 1, MediaTime.Zero, length)], null, null, null);
        return new Clip(
            media, new Device(device, DeviceKind.Recorder, null, null), [new MicChannel(0, MicRole.Lavalier)], "=reason()");
    }
}
