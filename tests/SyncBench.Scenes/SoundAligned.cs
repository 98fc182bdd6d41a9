namespace SyncBench.Scenes;

/// <summary>Where a clip must come to lie when the subject's voice is lined up, and not the instants themselves.</summary>
public static class SoundAligned
{
    public static IReadOnlyList<string> Notes { get; } =
    [
        "All times in seconds. True time begins with the scene; recorder time is counted by the recorder's own clock from its sample 0.",
        "ppm_true: a second of the device is (1 + ppm_true*1e-6) true seconds. rate_ppm: the same against the recorder, "
        + "rate_ppm = ((1 + ppm_true*1e-6) / (1 + recorder_ppm_true*1e-6) - 1) * 1e6, "
        + "so that t_recorder = start_recorder_s + (1 + rate_ppm*1e-6) * t_clip for the instant itself.",
        "start_recorder_s = (start_true_s - recorder_start_true_s) / (1 + recorder_ppm_true*1e-6).",
        "sound_aligned_start_s = (start_true_s - recorder_start_true_s - (d_scratch - d_lavalier) / c) / (1 + recorder_ppm_true*1e-6): "
        + "what lines up the subject's voice at the camera's scratch mic (channel 0) with the same voice at the lavalier. "
        + "d are the subject's distances under mics, c the speed of sound.",
        "A camera's picture and sound begin at the same true instant; its picture therefore belongs at start_recorder_s.",
        "Faults and turns are on recorder time; turns are given as heard at the lavalier. A turn spans the interjections made into it.",
        "clock_error_s: what the device writes as time of day less the true time of day.",
    ];

    /// <summary>The offset, on the recorder's clock, of the map that lines up the subject's voice.</summary>
    /// <param name="clipStart">True seconds at which the clip began.</param>
    /// <param name="recorderStart">True seconds at which the recorder began.</param>
    /// <param name="clipMetres">Subject to the clip's mic.</param>
    /// <param name="recorderMetres">Subject to the recorder's mic.</param>
    /// <remarks>
    /// A sound made at e arrives at e + d/c; so it stands at (e + d_r/c − s_r)/(1 + p_r) in the recorder's file and at
    /// (e + d_c/c − s_c)/(1 + p_c) in the clip. Putting e from the second into the first gives offset and rate.
    /// </remarks>
    public static double StartSeconds(
        double clipStart, double recorderStart, DeviceClock recorder, double clipMetres, double recorderMetres) =>
        (clipStart - recorderStart - Air.TravelSeconds(clipMetres - recorderMetres)) / recorder.TrueSeconds;
}
