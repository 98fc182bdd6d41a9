using static SyncBench.Scenes.DemoSet;

namespace SyncBench.Scenes;

/// <summary>One recording of a camera.</summary>
/// <param name="File">Path in the dump.</param>
/// <param name="Start">True seconds.</param>
public sealed record CameraClip(string File, double Start, int Frames)
{
    /// <summary>On the camera's own clock.</summary>
    public double Seconds => (double)Frames / CameraFile.FramesPerSecond;

    public static CameraClip Between(string file, double start, double end, DeviceClock clock) =>
        new(file, start, (int)((end - start) / clock.TrueSeconds * CameraFile.FramesPerSecond));
}

/// <summary>Who rolls when, in true seconds, drawn from what is said when.</summary>
public sealed record DemoPlan(
    IReadOnlyList<CameraClip> CameraA, IReadOnlyList<CameraClip> CameraB, CameraClip SilentBRoll, CameraClip MuteBRoll,
    double Rustle, double Wind, double End)
{
    public const double FaultSeconds = 20;
    public const string RecorderFile = "RECORDER/TALLOWICK_001.WAV";
    public const string NotMediaFile = "CAM_B/B001C004.MOV";

    public int RecorderSamples => (int)((End - RecorderStart) / RecorderClock.TrueSeconds * Air.SampleRateHz);

    public static DemoPlan For(Rehearsal rehearsal)
    {
        static double seconds(int sample) => (double)sample / Air.SampleRateHz;
        SpokenTurn longest(Part part) => rehearsal.Turns
            .Where(turn => turn.Part == part && turn.Speaker == Speaker.Subject)
            .MaxBy(turn => turn.End - turn.Start)!;
        double lastWord(Part part) => seconds(rehearsal.Turns.Where(turn => turn.Part == part).Max(turn => turn.End));

        SpokenTurn rustled = longest(Part.TakeOne);
        double takeOneMiddle = (FirstWord + lastWord(Part.TakeOne)) / 2;

        // Camera A stops for a second inside an answer, but not while the lavalier rustles: then it is needed.
        SpokenTurn cut = rehearsal.Turns
            .Where(turn => turn.Part == Part.TakeOne && turn.Speaker == Speaker.Subject && turn != rustled)
            .MinBy(turn => Math.Abs(seconds(turn.Start + turn.End) / 2 - takeOneMiddle))!;
        double cutAt = (seconds(cut.Start + cut.End) / 2) + 0.0137;
        double takeTwo = seconds(rehearsal.Turns.First(turn => turn.Part == Part.TakeTwo).Start);
        double end = lastWord(Part.TakeTwo) + 9.5;
        return new DemoPlan(
            [
                CameraClip.Between("CAM_A/A001C001.MP4", CameraAStart, cutAt, CameraAClock),
                CameraClip.Between("CAM_A/A001C002.MP4", cutAt + 1.0283719, lastWord(Part.TakeOne) + 3.1, CameraAClock),
                CameraClip.Between("CAM_A/A001C003.MP4", takeTwo - 5.0417233, lastWord(Part.TakeTwo) + 4.2, CameraAClock),
            ],
            [
                CameraClip.Between("CAM_B/B001C001.MOV", CameraBStart, lastWord(Part.TakeOne) + 4.3, CameraBClock),
                CameraClip.Between("CAM_B/B001C002.MOV", takeTwo - 7.3391764, lastWord(Part.TakeTwo) + 3.3, CameraBClock),
            ],
            new CameraClip("CAM_A/A001C004.MP4", end + 410.2, 12 * CameraFile.FramesPerSecond),
            new CameraClip("CAM_B/B001C003.MOV", end + 655.7, 15 * CameraFile.FramesPerSecond),
            Rustle: seconds(rustled.Start) + 6,
            Wind: seconds(longest(Part.TakeTwo).Start) + 8,
            end);
    }
}
