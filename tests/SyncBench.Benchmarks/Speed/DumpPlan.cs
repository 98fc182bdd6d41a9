using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Speed;

/// <summary>A device of a speed dump; it records through from just after the start of the talk to its end.</summary>
/// <param name="File">In the dump; .MP4 is a camera (tiny picture, AAC 128 kbit/s), .WAV a recorder (24 bit).</param>
/// <param name="Mics">One a channel.</param>
/// <param name="Gain">Of the sound; 1 is the direct sound at one metre.</param>
internal sealed record DevicePlan(string File, double Ppm, double StartSeconds, IReadOnlyList<Point> Mics, float Gain, float NoiseDb);

/// <summary>An interview of a given length on devices that roll through.</summary>
internal sealed record DumpPlan(string Name, double Seconds, ulong Seed, IReadOnlyList<DevicePlan> Devices)
{
    internal const double Rt60 = 0.4;

    private static readonly DevicePlan Recorder =
        new("RECORDER/REC001.WAV", 4, 0.37, [PairScene.Lavalier], 0.25f, -62);

    private static readonly DevicePlan CameraA =
        new("CAM_A/A001C001.MP4", 22, 1.91, [new Point(3.9, 2.9, 1.5), new Point(3.92, 2.9, 1.5)], 0.8f, -46);

    private static readonly DevicePlan CameraB =
        new("CAM_B/B001C001.MP4", -27, 2.63, [new Point(3.5, 1.7, 1.4), new Point(3.52, 1.7, 1.4)], 0.8f, -44);

    private static readonly DevicePlan SecondRecorder =
        new("RECORDER_2/BOOM001.WAV", -3, 0.82, [new Point(2.1, 2.2, 2.0)], 0.5f, -58);

    /// <summary>Two cameras and a recorder, and a second recorder where four sources are wanted.</summary>
    internal static DumpPlan Of(string name, double seconds, ulong seed, bool fourSources = false) => new(
        name, seconds, seed, fourSources ? [Recorder, CameraA, CameraB, SecondRecorder] : [Recorder, CameraA, CameraB]);

    /// <summary>Where a device's file comes to lie on the recorder's clock when the subject's voice is lined up.</summary>
    internal static double StartOnRecorder(DevicePlan device) => SoundAligned.StartSeconds(
        device.StartSeconds, Recorder.StartSeconds, new DeviceClock(Recorder.Ppm),
        PairScene.Subject.DistanceTo(device.Mics[0]), PairScene.Subject.DistanceTo(Recorder.Mics[0]));
}
