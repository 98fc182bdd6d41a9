using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Selection.Speakers;
using SyncBench.Signal.Loudness;
using SyncBench.Time;

namespace SyncBench.Tests.Support;

/// <summary>Dumps built by hand, as analysis would have handed them on.</summary>
internal static class ReportExamples
{
    /// <summary>What a card may name a file: markup, a formula, a line break, quotes, an emoji, a separator.</summary>
    internal static readonly string[] HostileNames =
    [
        "<script>alert(1)</script>.wav",
        "=cmd|' /C calc'!A0",
        "+1-1.mov",
        "@SUM(A1).mov",
        "-rf.wav",
        "\t=1+1.wav",
        "two\r\nlines.wav",
        "\"quoted\", and 'single'.mov",
        "rope \ud83e\udea2 walk.mov",
        "a;b&amp;c.wav",
        "\"><svg onload=alert(1)>.mp4",
    ];

    private static readonly DateTimeOffset Made = new(2026, 5, 14, 18, 40, 0, TimeSpan.FromHours(2));

    internal static DumpResult Empty { get; } = new("ropewalk-day2", "/dump/ropewalk-day2", Made, [], [], []);

    internal static DumpResult OnlyUnreadable { get; } = Empty with
    {
        Files = [.. new[] { "CAM_A/A001.mp4", "RECORDER/R001.wav" }.Select(path =>
            new FileOutcome(File(path), null, Outcome.Unreadable, null, "the file ends in the middle of its header"))],
    };

    /// <summary>Every text that comes from outside is hostile, in every place where a report shows it.</summary>
    internal static DumpResult Hostile()
    {
        FileOutcome[] files =
        [
            .. HostileNames.Select((name, i) =>
            {
                var device = new Device(name, i % 2 == 0 ? DeviceKind.Camera : DeviceKind.Recorder, i % 2 == 0 ? name : null, null);
                Clip clip = Clip(name, device, 60, MicRole.Lavalier) with { RoleReason = name };
                return new FileOutcome(
                    clip.File, clip, Outcome.Placed, Place(clip, i, 3.5, 0.9995, device, Votes(60, 3, seed: i)), name);
            }),
        ];
        ImmutableArray<Placement> placements = [.. files.Select(file => file.Placement!)];
        var take = new Take("<b>take</b> & 1", Range(10, 60), placements);
        var sound = new TakeSound(
            take,
            [.. placements.Select((placement, i) => new Segment(Range(10 + (i * 4), 14 + (i * 4)), Source(placement), placement.Clip.File.Path))],
            [.. placements.Select(placement => new Fault(FaultKind.Dropout, Source(placement), Range(20, 30)))],
            [.. placements.Select(placement => Curve(Source(placement), 10, 50, -30, float.NaN, []))]);
        return Empty with
        {
            Name = "<i>dump</i> & \"co\"",
            Files = [.. files],
            Clocks = [.. placements.Select((placement, i) => new DeviceClock(placement.Clip.Device, i == 0 ? 0 : 150, double.NaN, i == 0))],
            Takes = [sound],
        };
    }

    /// <summary>
    /// Seven minutes of interview in two takes: two cameras, a recorder that runs through, rustle and wind, one
    /// clip of B-roll, one to check by ear and one that cannot be read.
    /// </summary>
    internal static DumpResult Interview()
    {
        var wide = new Device("CAM_A", DeviceKind.Camera, "wide", null);
        var close = new Device("CAM_B", DeviceKind.Camera, "close", null);
        var recorder = new Device("RECORDER", DeviceKind.Recorder, null, null);
        Clip lavalier = Clip("RECORDER/R001.wav", recorder, 432, MicRole.Lavalier);
        Clip a1 = Clip("CAM_A/A001.mp4", wide, 236.4, MicRole.Scratch, MicRole.Shotgun);
        Clip b1 = Clip("CAM_B/B001.mp4", close, 229.1, MicRole.Scratch);
        Clip a2 = Clip("CAM_A/A002.mp4", wide, 164.2, MicRole.Scratch, MicRole.Shotgun);
        Clip b2 = Clip("CAM_B/B002.mp4", close, 166.8, MicRole.Scratch);
        Clip detail = Clip("CAM_B/B003.mp4", close, 21.5, MicRole.Scratch);
        Clip nod = Clip("CAM_A/A003.mp4", wide, 9.2, MicRole.Scratch, MicRole.Shotgun);

        Placement r = Place(lavalier, 0, 0, 1, null, []);
        Placement pa1 = Place(a1, 6.482_917, 11.42, 0.999_999_2, recorder, Votes(236.4, 0.05, seed: 1));
        Placement pb1 = Place(b1, 9.120_404, -7.81, 0.999_998_9, recorder, Votes(229.1, 0.08, seed: 2));
        Placement pa2 = Place(a2, 258.75, 11.42, 0.999_999_6, recorder, Votes(164.2, 0.05, seed: 3));
        Placement pb2 = Place(b2, 255.003_125, -7.81, 0.999_997_1, recorder, Votes(166.8, 0.08, seed: 4));
        Placement guess = Place(nod, 311.2, 11.42, 0.8731, recorder, Votes(9.2, 0.9, seed: 5));

        return Empty with
        {
            Files =
            [
                new(a1.File, a1, Outcome.Placed, pa1, "sound matches RECORDER"),
                new(a2.File, a2, Outcome.Placed, pa2, "sound matches RECORDER"),
                new(nod.File, nod, Outcome.CheckByEar, guess, "sound matches RECORDER, but only with 87.3 % certainty: listen to it beside RECORDER"),
                new(b1.File, b1, Outcome.Placed, pb1, "sound matches RECORDER"),
                new(b2.File, b2, Outcome.Placed, pb2, "sound matches RECORDER"),
                new(detail.File, detail, Outcome.SetAside, null, "its sound matches nothing in this dump"),
                new(File("CAM_B/B004.mp4"), null, Outcome.Unreadable, null, "the index of the file is missing: the copy or the recording was cut short"),
                new(lavalier.File, lavalier, Outcome.Placed, r, "the clock the others are set to"),
            ],
            Clocks = [new(recorder, 0, 0, true), new(wide, 11.42, 0.06, false), new(close, -7.81, 0.09, false)],
            Takes = [FirstTake(r, pa1, pb1), SecondTake(r, pa2, pb2)],
        };
    }

    internal static TimeRange Range(double from, double to) =>
        TimeRange.Between(MediaTime.FromSeconds(from), MediaTime.FromSeconds(to));

    internal static MicSource Source(Placement placement, int channel = 0) => new(placement, placement.Clip.Mics[channel]);

    private static TakeSound FirstTake(Placement recorder, Placement wide, Placement close)
    {
        MicSource lavalier = Source(recorder), shotgun = Source(wide, 1), scratch = Source(close);
        return new TakeSound(
            new Take("take 1", TimeRange.Between(wide.CommonRange.Start, wide.CommonRange.End), [recorder, wide, close]),
            [
                new(Range(6.482_917, 78.2), lavalier, "lavalier: cleaner by 9 dB"),
                new(Range(78.2, 99.6), shotgun, "shotgun: lavalier has rustle 01:12 to 01:32"),
                new(Range(99.6, 242.885_617), lavalier, "lavalier: cleaner by 8 dB"),
            ],
            [
                new(FaultKind.Rustle, lavalier, Range(78.9, 98.7)),
                new(FaultKind.Rustle, lavalier, Range(171.0, 171.6)),
                new(FaultKind.Wind, shotgun, Range(140.2, 188.4)),
                new(FaultKind.Wind, shotgun, Range(29.5, 33)),
                new(FaultKind.Clipping, scratch, Range(61.0, 61.3)),
                new(FaultKind.Dropout, scratch, Range(201.0, 206.4)),
            ],
            [
                Curve(lavalier, 6.482_917, 236.4, -26, -62, [(78.9, 98.7)]),
                Curve(shotgun, 6.482_917, 236.4, -33, -54, [(140.2, 188.4), (29.5, 33)]),
                Curve(scratch, 9.12, 229.1, -38, -50, []),
            ])
        {
            Talk = new Talk(
                [
                    new(Range(8, 11.5), Speaking.Interviewer), new(Range(12.5, 14), Speaking.Subject),
                    new(Range(15.5, 120), Speaking.Subject), new(Range(120, 121), Speaking.Both),
                ],
                [
                    new(TurnKind.Question, Range(8, 11.5), MediaTime.FromSeconds(8), MayBeRestart: false),
                    new(TurnKind.Answer, Range(12.5, 14), MediaTime.FromSeconds(12.5), MayBeRestart: true),
                    new(TurnKind.Answer, Range(15.5, 121), MediaTime.FromSeconds(17.25), MayBeRestart: false),
                ],
                CannotTell: null),
            Loudness = new TakeLoudness(
                [
                    new(lavalier.Clip.Device, lavalier.Mic, new(-24.3, 8.2, -19, -16.5, -1.7), -26.4, 0, "the main mic"),
                    new(shotgun.Clip.Device, shotgun.Mic, new(-27.9, 9.6, -22, -18, 0.4), -30.1, 3.8, "112 s of speech heard by both"),
                    new(
                        scratch.Clip.Device, scratch.Mic, LoudnessFigures.Of([], 0), double.NegativeInfinity, 0,
                        "nothing to compare it with"),
                ],
                new(-23.65, 8.1, -18.5, -15.9, -0.5),
                new(-24.25, 8.1, -19.1, -16.5, -1.1)),
        };
    }

    private static TakeSound SecondTake(Placement recorder, Placement wide, Placement close)
    {
        MicSource lavalier = Source(recorder), shotgun = Source(wide, 1), scratch = Source(close);
        return new TakeSound(
            new Take("take 2", Range(255.003_125, 422.95), [recorder, close, wide]),
            [
                new(Range(255.003_125, 330.5), lavalier, "lavalier: cleaner by 9 dB"),
                new(Range(330.5, 352), scratch, "scratch: every mic has a fault, the least bad: its own wind 01:17 to 01:30, lavalier has rustle 01:16 to 01:36, shotgun has wind 01:10 to 01:40"),
                new(Range(352, 422.95), shotgun, "shotgun: lavalier has dropouts 01:37 to 02:40"),
            ],
            [
                new(FaultKind.Rustle, lavalier, Range(331, 351)),
                new(FaultKind.Dropout, lavalier, Range(352.2, 415)),
                new(FaultKind.Wind, shotgun, Range(325, 355)),
                new(FaultKind.Wind, scratch, Range(332, 345)),
                new(FaultKind.Wind, Source(wide), Range(330, 350)),
            ],
            [
                Curve(lavalier, 255.003_125, 167.95, -26, -62, [(331, 351)]),
                Curve(shotgun, 255.003_125, 167.95, -33, -54, [(325, 355)]),
                Curve(scratch, 255.003_125, 166.8, -38, -50, [(332, 345)]),
            ]);
    }

    private static MediaFile File(string path) => new(path, "/dump/ropewalk-day2/" + path, 734_003_200);

    private static Clip Clip(string path, Device device, double seconds, params MicRole[] mics)
    {
        MediaTime duration = MediaTime.FromSeconds(seconds);
        bool camera = device.Kind == DeviceKind.Camera;
        var media = new MediaInfo(
            File(path), camera ? "mov,mp4,m4a,3gp,3g2,mj2" : "wav", MediaTime.Zero, duration,
            camera ? [new VideoStream(0, "h264", Rate.Fps25, 1920, 1080, MediaTime.Zero, duration)] : [],
            [new AudioStream(camera ? 1 : 0, camera ? "aac" : "pcm_s24le", 48_000, mics.Length, MediaTime.Zero, duration)],
            camera ? "10:00:00:00" : null, camera ? null : 1_728_000_000, Made.AddHours(-6));
        return new Clip(
            media, device, [.. mics.Select((role, channel) => new MicChannel(channel, role))], $"folder \"{device.Name}\"");
    }

    private static Placement Place(
        Clip clip, double start, double ppm, double certainty, Device? against, ImmutableArray<LagVote> votes) => new(
        clip, new ClockMap(MediaTime.FromSeconds(start), ppm), against is null ? 0 : 0.06,
        MediaTime.FromMilliseconds(against is null ? 0 : 0.02), certainty, against, 0, votes,
        [.. clip.Mics.Select(mic => new MicDelay(mic, MediaTime.FromMilliseconds(mic.Channel * 0.4), true))]);

    /// <summary>A vote every two seconds with noise of the given spread; one in seven is another talker, 4 ms away.</summary>
    private static ImmutableArray<LagVote> Votes(double seconds, double spreadMs, int seed)
    {
        var random = new Random(seed);
        var votes = ImmutableArray.CreateBuilder<LagVote>();
        for (double at = 1; at < seconds; at += 2)
        {
            bool counted = random.Next(7) > 0;
            double noise = (random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5) * 2 * spreadMs;
            votes.Add(new LagVote(
                MediaTime.FromSeconds(at), MediaTime.FromMilliseconds(counted ? noise : (random.Next(3) * spreadMs * 4) + (spreadMs * 3) + noise), counted));
        }

        return votes.ToImmutable();
    }

    /// <summary>A quarter of a second a step: sentences and pauses over a floor, louder where there is a fault.</summary>
    private static MicCurve Curve(
        MicSource source, double start, double seconds, float speechDb, float floorDb, (double From, double To)[] faults)
    {
        const double step = 0.25;
        var random = new Random(source.Mic.Channel + (int)(seconds * 10));
        int count = (int)Math.Ceiling(seconds / step);
        var level = new float[count];
        var noise = new float[count];
        var peak = new float[count];
        for (int i = 0; i < count; i++)
        {
            double at = start + (i * step);
            bool speaks = Math.Sin(at * 0.9) + Math.Sin(at * 0.37) > -0.6;
            bool faulty = faults.Any(fault => at >= fault.From && at < fault.To);
            noise[i] = floorDb + (float)(Math.Sin(at * 0.05) * 2) + (faulty ? 18 : 0);
            level[i] = speaks ? speechDb - (float)(random.NextDouble() * 9) : noise[i] + (float)(random.NextDouble() * 3);
            peak[i] = Math.Min(0, level[i] + 10 + (float)(random.NextDouble() * 4) + (faulty ? 8 : 0));
        }

        return new MicCurve(source, MediaTime.FromSeconds(start), MediaTime.FromSeconds(step), [.. level], [.. noise], [.. peak]);
    }
}
