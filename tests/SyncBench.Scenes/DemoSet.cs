namespace SyncBench.Scenes;

/// <summary>The set of the demo: room, places, microphones, clocks and what the cameras see.</summary>
public static class DemoSet
{
    /// <summary>Chooses every pause and all noise.</summary>
    public const ulong Seed = 20260514;

    /// <summary>Time of day at true time zero.</summary>
    public static DateTime Morning { get; } = new(2026, 5, 14, 9, 20, 55, DateTimeKind.Utc);

    // The room and where mouths and microphones are, in metres. The camera stands where no two strong reflections of
    // the subject arrive together: such a pair would be louder than the direct sound, and "the" arrival in doubt.
    public static Point RoomSize { get; } = new(7.8, 5.4, 3.5);
    public const double Rt60 = 0.45;
    public static Point Subject { get; } = new(2.78, 2.54, 1.20);
    public static Point Interviewer { get; } = new(4.98, 1.54, 1.20);
    public static Point Lavalier { get; } = new(2.85, 2.54, 0.96);
    public static Point Shotgun { get; } = new(3.33, 2.49, 1.905);
    public static Point CameraA { get; } = new(5.68, 3.88, 1.58);
    public static Point CameraBLeft { get; } = new(4.76, 2.37, 1.35);
    public static Point CameraBRight { get; } = new(4.76, 2.41, 1.35);

    public static DeviceClock RecorderClock { get; } = new(45);
    public static DeviceClock CameraAClock { get; } = new(-12);
    public static DeviceClock CameraBClock { get; } = new(20);

    // Seconds by which a device's time of day is fast.
    public const double CameraAClockError = -37.4;
    public const double CameraBClockError = 2.56;

    // Starts in true seconds; cameras and recorder are started by hand, so none lies on a sample or a frame.
    public const double RecorderStart = 1.9307413;
    public const double CameraBStart = 6.2219087;
    public const double CameraAStart = 9.7084352;
    public const double FirstWord = 15;
    public const double BreakSeconds = 29;

    public static Microphone LavalierMic { get; } =
        new("lavalier", Lavalier, PickupPattern.AllRound, SpeechDb: -24, SnrDb: 32, RumbleDb: 4);

    public static Microphone ShotgunMic { get; } =
        new("shotgun", Shotgun, PickupPattern.Supercardioid(Subject), SpeechDb: -26, SnrDb: 22, RumbleDb: 6);

    public static Microphone ScratchA { get; } =
        new("scratch A", CameraA, PickupPattern.AllRound, SpeechDb: -30, SnrDb: 11, RumbleDb: 8);

    public static Microphone ScratchBLeft { get; } =
        new("scratch B left", CameraBLeft, PickupPattern.AllRound, SpeechDb: -29, SnrDb: 14, RumbleDb: 8);

    public static Microphone ScratchBRight { get; } =
        ScratchBLeft with { Name = "scratch B right", At = CameraBRight };

    public static Task<Rehearsal> RehearseAsync() =>
        Rehearsal.OfAsync(Interview.Lines, FirstWord, BreakSeconds, Seed);

    public static Picture HackleBoard { get; } = new("CAM_A hackle board", "0x5a4632",
        [new(40, 120, 400, 16, "0xb08a50"), new(60, 60, 4, 60, "0xc8c8c8"), new(120, 60, 4, 60, "0xc8c8c8")]);

    public static Picture Quay { get; } = new("CAM_B quay", "0x4a6a86",
        [new(0, 180, 480, 90, "0x28404c"), new(180, 130, 120, 50, "0x8a3c2c")]);

    /// <summary>Both people at the table; their mouths are open while they speak, so that sync can be seen.</summary>
    public static Picture Wide(Rehearsal rehearsal) => new("CAM_A wide", "0x3a4a55",
        [
            new(0, 200, 480, 70, "0x6b5a48"),
            new(104, 134, 68, 80, "0x7a2e2e"), new(120, 90, 36, 44, "0xc8a27a"),
            new(314, 136, 64, 78, "0x2e4a5a"), new(330, 96, 32, 40, "0xb98f6c"),
            new(130, 118, 16, 10, Mouth) { Seen = Speaking(rehearsal, Speaker.Subject) },
            new(339, 122, 14, 9, Mouth) { Seen = Speaking(rehearsal, Speaker.Interviewer) },
        ]);

    /// <summary>The subject alone.</summary>
    public static Picture Close(Rehearsal rehearsal) => new("CAM_B close", "0x44505a",
        [
            new(170, 30, 120, 150, "0xc8a27a"), new(120, 180, 220, 90, "0x7a2e2e"),
            new(196, 84, 18, 8, "0x202020"), new(246, 84, 18, 8, "0x202020"),
            new(206, 134, 48, 24, Mouth) { Seen = Speaking(rehearsal, Speaker.Subject) },
        ]);

    private const string Mouth = "0x401818";

    private static (double From, double To)[] Speaking(Rehearsal rehearsal, Speaker speaker) =>
        [.. rehearsal.Sentences
            .Where(sentence => sentence.Line.Speaker == speaker)
            .Select(sentence => ((double)sentence.Start / Air.SampleRateHz, (double)sentence.End / Air.SampleRateHz))];
}
