namespace SyncBench.Scenes;

/// <summary>How hard a clip is to place: what a benchmark varies.</summary>
/// <param name="ClipSeconds">By the camera's clock.</param>
/// <param name="RecorderSeconds">By the recorder's clock; the clip lies wholly inside.</param>
/// <param name="SnrDb">At the camera's mic, 200 to 7500 Hz; the lavalier has 30 dB.</param>
/// <param name="CameraMetres">From the subject to the camera's mic, 0.5 to 5.5; sets how much room is heard.</param>
/// <param name="Ppm">The camera's clock against the recorder's, which is true.</param>
/// <param name="SwayMetres">
/// The subject's mouth is elsewhere by up to this much on each axis with every sentence; the truth is for its middle.
/// </param>
public sealed record PairCondition(
    double ClipSeconds, double RecorderSeconds, double SnrDb, double Rt60, ulong Seed, double CameraMetres = 2.5,
    double Ppm = 35, int CameraRateHz = 48_000, double SwayMetres = 0);

/// <summary>A recorder and a camera clip of one conversation, in memory.</summary>
/// <param name="Recorder">Lavalier, 48 kHz.</param>
/// <param name="Camera">Scratch mic, at the rate that was asked for.</param>
/// <param name="StartSeconds">
/// Where the clip comes to lie on the recorder's clock when the subject's voice is lined up:
/// t_recorder = StartSeconds + (1 + RatePpm·10⁻⁶)·t_clip.
/// </param>
/// <param name="DirectToReverberantDb">Of the subject at the camera, 200 to 7500 Hz.</param>
/// <param name="Turns">In samples of the recorder, as heard at the lavalier; the last may lie beyond its end.</param>
public sealed record ScenePair(
    float[] Recorder, float[] Camera, double StartSeconds, double RatePpm, double DirectToReverberantDb,
    IReadOnlyList<SpokenTurn> Turns);

/// <summary>Short scenes for benchmarks, without touching the disk.</summary>
public static class PairScene
{
    // The room of all benches and the places in it, in metres.
    public static Point RoomSize { get; } = new(7.8, 5.4, 3.5);
    public static Point Subject { get; } = new(1.63, 2.34, 1.22);
    public static Point Interviewer { get; } = new(3.74, 1.31, 1.25);
    public static Point Lavalier { get; } = new(Subject.X + 0.07, Subject.Y, Subject.Z - 0.24);

    /// <summary>A camera stands in a direction of its own in every scene, so that no one reflection decides a benchmark.</summary>
    /// <param name="metres">From the subject's mouth.</param>
    public static Point Camera(double metres, SeededRandom random)
    {
        double angle = random.Between(-0.35, 0.45), higher = random.Between(0, 0.4);
        double along = Math.Sqrt((metres * metres) - (higher * higher));
        return new Point(
            Subject.X + (along * Math.Cos(angle)), Subject.Y + (along * Math.Sin(angle)), Subject.Z + higher);
    }

    /// <exception cref="InvalidOperationException">espeak-ng is missing or failed.</exception>
    public static async Task<ScenePair> MakeAsync(PairCondition condition)
    {
        var random = new SeededRandom(condition.Seed, "pair");
        double recorderStart = random.Between(0, 1);
        Rehearsal rehearsal = await Rehearsal.OfAsync(
            SmallTalk.Lines(condition.RecorderSeconds, condition.Seed),
            random.Between(0.2, 1), breakSeconds: 0, condition.Seed);
        int length = (int)((recorderStart + condition.RecorderSeconds + 0.5) * Air.SampleRateHz);
        Point Sway() => new(
            Subject.X + random.Between(-condition.SwayMetres, condition.SwayMetres),
            Subject.Y + random.Between(-condition.SwayMetres, condition.SwayMetres),
            Subject.Z + random.Between(-condition.SwayMetres, condition.SwayMetres));
        Utterance[] utterances = [.. rehearsal.Sentences
            .Where(sentence => sentence.Start < length)
            .Select(sentence => sentence.Line.Speaker == Speaker.Subject
                ? new Utterance(IsSubject: true, sentence.Start, sentence.Samples, Sway())
                : new Utterance(IsSubject: false, sentence.Start, sentence.Samples, Interviewer))];
        var scene = new Scene(new ShoeboxRoom(RoomSize, condition.Rt60), utterances, length, condition.Seed);

        Point camera = Camera(condition.CameraMetres, random);
        var near = new Microphone("lavalier", Lavalier, PickupPattern.AllRound, SpeechDb: -24, SnrDb: 30, RumbleDb: 4);
        var far = new Microphone("scratch", camera, PickupPattern.AllRound, SpeechDb: -30, condition.SnrDb, RumbleDb: 6);

        var recorderClock = new DeviceClock(0);
        var cameraClock = new DeviceClock(condition.Ppm, condition.CameraRateHz);
        double room = condition.RecorderSeconds - (condition.ClipSeconds * cameraClock.TrueSeconds);
        double clipStart = recorderStart + random.Between(0, Math.Max(0, room));
        float[] recorder = recorderClock.Record(
            scene.Hear(near), recorderStart, (int)(condition.RecorderSeconds * Air.SampleRateHz));
        float[] clip = cameraClock.Record(
            scene.Hear(far), clipStart, (int)(condition.ClipSeconds * condition.CameraRateHz));
        return new ScenePair(
            recorder,
            clip,
            SoundAligned.StartSeconds(
                clipStart, recorderStart, recorderClock, Subject.DistanceTo(camera), Subject.DistanceTo(Lavalier)),
            condition.Ppm,
            scene.Room.Response(Subject, camera, PickupPattern.AllRound).DirectToReverberantDb(),
            [.. rehearsal.Turns.Select(turn =>
            {
                double travel = Air.TravelSeconds(
                    (turn.Speaker == Speaker.Subject ? Subject : Interviewer).DistanceTo(Lavalier));
                int shift = (int)Math.Round((travel - recorderStart) * Air.SampleRateHz);
                return turn with { Start = turn.Start + shift, End = turn.End + shift };
            })]);
    }
}
