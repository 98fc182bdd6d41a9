using SyncBench.Scenes;

namespace SyncBench.Tests.Scenes;

public class DemoTruthTests
{
    [Fact]
    public async Task AWordOfTheSubject_MeetsItselfWhereSoundAlignedStartSays()
    {
        (_, Truth truth) = await PlanAsync();
        TrueFile[] clips = [.. truth.Files.Where(file => file is { Kind: "interview", RatePpm: not 0 })];
        Assert.Equal(5, clips.Length);
        TrueFile recorder = truth.Files.Single(file => file is { Device: "RECORDER" });
        foreach (TrueFile clip in clips)
        {
            // Followed through the air and into both files, step by step, instead of by the formula under test.
            double spokenTrue = clip.StartTrueS!.Value + 17.25;
            double onRecorder = Sample(spokenTrue, recorder, "RECORDER");
            double onClip = Sample(spokenTrue, clip, clip.Device!);
            double mapped = clip.SoundAlignedStartS!.Value + ((1 + (clip.RatePpm!.Value * 1e-6)) * onClip);
            Assert.Equal(onRecorder, mapped, 5e-7); // distances are written to 0.1 mm, 0.3 µs
        }

        double Sample(double spoken, TrueFile file, string device)
        {
            double metres = truth.Mics.Single(mic =>
                mic.Channel == 0 && string.Equals(mic.Device, device, StringComparison.Ordinal)).SubjectM; // to 0.1 mm
            double ppm = truth.Devices.Single(known => string.Equals(known.Name, device, StringComparison.Ordinal)).PpmTrue;
            return (spoken + (metres / 343.2) - file.StartTrueS!.Value) / (1 + (ppm * 1e-6));
        }
    }

    [Fact]
    public async Task TheInterview_IsSixToTenMinutes_InTwoTakes_WithTheRecorderRollingThrough()
    {
        (DemoPlan plan, Truth truth) = await PlanAsync();
        double seconds = truth.Files.Single(file => file is { Device: "RECORDER" }).DurationS!.Value;
        Assert.InRange(seconds, 360, 600);
        Assert.Equal(2, truth.Takes.Count);
        Assert.InRange(truth.Takes[1].StartS - truth.Takes[0].EndS, 15, 20);
        Assert.True(truth.Takes[0].StartS > 0 && truth.Takes[1].EndS < seconds);

        CameraClip first = plan.CameraA[0];
        Assert.InRange(plan.CameraA[1].Start - first.Start - first.Seconds, 0.9, 1.2);
    }

    [Fact]
    public async Task EachFault_LastsTwentySeconds_WhileTheSubjectSpeaksInATake()
    {
        (_, Truth truth) = await PlanAsync();
        string[] kinds = [.. truth.Faults.Select(fault => fault.Kind)];
        Assert.Equal(["rustle", "wind"], kinds);
        foreach (TrueFault fault in truth.Faults)
        {
            Assert.Equal(20, fault.EndS - fault.StartS, 0.01);
            Assert.Contains(truth.Turns, turn => turn is { Speaker: "subject", Part: "take 1" or "take 2" }
                && turn.StartS < fault.StartS && turn.EndS > fault.EndS);
            Assert.Contains(truth.Takes, take => take.StartS < fault.StartS && take.EndS > fault.EndS);
        }
    }

    [Fact]
    public async Task TruthOnDisk_ReadsBackAsItWas()
    {
        (_, Truth truth) = await PlanAsync();
        string path = Path.GetTempFileName();
        try
        {
            await truth.WriteAsync(path);
            Truth read = await Truth.ReadAsync(path);
            Assert.Equal(truth.Files, read.Files);
            Assert.Equal(truth.Turns, read.Turns);
            Assert.Contains("\"sound_aligned_start_s\"", await File.ReadAllTextAsync(path), StringComparison.Ordinal);
        }
        finally
        {
            File.Delete(path);
        }
    }

    private static async Task<(DemoPlan Plan, Truth Truth)> PlanAsync()
    {
        Rehearsal rehearsal = await DemoSet.RehearseAsync();
        DemoPlan plan = DemoPlan.For(rehearsal);
        return (plan, DemoTruth.Of(plan, rehearsal));
    }
}
