using static SyncBench.Scenes.DemoSet;

namespace SyncBench.Scenes;

/// <summary>What is true of the demo's dump, from the plan by which it was made.</summary>
public static class DemoTruth
{
    public static Truth Of(DemoPlan plan, Rehearsal rehearsal)
    {
        double onRecorder(double trueSeconds) => (trueSeconds - RecorderStart) / RecorderClock.TrueSeconds;
        double rate(DeviceClock clock) => ((clock.TrueSeconds / RecorderClock.TrueSeconds) - 1) * 1e6;

        TrueMic mic(string device, int channel, string role, Microphone m) => new(
            device, channel, role, Round(Subject.DistanceTo(m.At), 4), Round(Interviewer.DistanceTo(m.At), 4), m.SnrDb);
        TrueFile interview(string device, CameraClip clip, DeviceClock clock, Microphone scratch) => new(
            clip.File, device, "interview", Round(clip.Start), Round(onRecorder(clip.Start)), clip.Seconds,
            Round(rate(clock)),
            Round(SoundAligned.StartSeconds(
                clip.Start, RecorderStart, RecorderClock,
                Subject.DistanceTo(scratch.At), Subject.DistanceTo(Lavalier))));
        TrueFile bRoll(string device, CameraClip clip, DeviceClock clock) => new(
            clip.File, device, "b-roll", Round(clip.Start), Round(onRecorder(clip.Start)), clip.Seconds,
            Round(rate(clock)), null);
        TrueFault fault(string kind, double start, string device, int channel, string role) => new(
            kind, device, channel, role, Round(onRecorder(start)), Round(onRecorder(start + DemoPlan.FaultSeconds)));
        TrueTake take(string name, CameraClip first, params CameraClip[] others)
        {
            CameraClip[] clips = [first, .. others];
            DeviceClock clockOf(CameraClip clip) => plan.CameraA.Contains(clip) ? CameraAClock : CameraBClock;
            return new TrueTake(
                name,
                Round(clips.Min(clip => onRecorder(clip.Start))),
                Round(clips.Max(clip => onRecorder(clip.Start + (clip.Seconds * clockOf(clip).TrueSeconds)))),
                [DemoPlan.RecorderFile, .. clips.Select(clip => clip.File).Order(StringComparer.Ordinal)]);
        }

        double heard(int sample, Speaker speaker) => Round(onRecorder(
            ((double)sample / Air.SampleRateHz)
            + Air.TravelSeconds((speaker == Speaker.Subject ? Subject : Interviewer).DistanceTo(Lavalier))));

        return new Truth(
            DemoDump.Name,
            $"SyncBench.Scenes demo, version {DemoDump.Version}",
            SoundAligned.Notes,
            Air.SpeedOfSound,
            Rt60,
            [
                new TrueDevice("RECORDER", RecorderClock.Ppm, 0, 0),
                new TrueDevice("CAM_A", CameraAClock.Ppm, Round(rate(CameraAClock)), CameraAClockError),
                new TrueDevice("CAM_B", CameraBClock.Ppm, Round(rate(CameraBClock)), CameraBClockError),
            ],
            [
                mic("RECORDER", 0, "lavalier", LavalierMic),
                mic("CAM_A", 0, "scratch", ScratchA),
                mic("CAM_A", 1, "shotgun", ShotgunMic),
                mic("CAM_B", 0, "scratch", ScratchBLeft),
                mic("CAM_B", 1, "scratch", ScratchBRight),
            ],
            [
                new TrueFile(
                    DemoPlan.RecorderFile, "RECORDER", "interview", RecorderStart, 0,
                    plan.RecorderSamples / (double)Air.SampleRateHz, 0, 0),
                .. plan.CameraA.Select(clip => interview("CAM_A", clip, CameraAClock, ScratchA)),
                bRoll("CAM_A", plan.SilentBRoll, CameraAClock),
                .. plan.CameraB.Select(clip => interview("CAM_B", clip, CameraBClock, ScratchBLeft)),
                bRoll("CAM_B", plan.MuteBRoll, CameraBClock),
                new TrueFile(DemoPlan.NotMediaFile, null, "not media", null, null, null, null, null),
            ],
            [
                take("take 1", plan.CameraB[0], plan.CameraA[0], plan.CameraA[1]),
                take("take 2", plan.CameraB[1], plan.CameraA[2]),
            ],
            [
                fault("rustle", plan.Rustle, "RECORDER", 0, "lavalier"),
                fault("wind", plan.Wind, "CAM_A", 1, "shotgun"),
            ],
            [.. rehearsal.Turns.Select(turn => new TrueTurn(
                turn.Speaker == Speaker.Subject ? "subject" : "interviewer",
                turn.Part switch { Part.TakeOne => "take 1", Part.Break => "break", _ => "take 2" },
                turn.IsInterjection,
                heard(turn.Start, turn.Speaker),
                heard(turn.End, turn.Speaker)))]);
    }

    private static double Round(double value, int digits = 9) => Math.Round(value, digits);
}
