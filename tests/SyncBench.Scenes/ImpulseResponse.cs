namespace SyncBench.Scenes;

/// <summary>What a microphone hears of a click at the talker's place.</summary>
/// <param name="Samples">At <see cref="Air.SampleRateHz"/>; gain 1 is the direct sound at one metre.</param>
/// <param name="Lead">Index of the instant of the click: what lies before is the rise of the first pulse.</param>
/// <param name="DirectSamples">Travel time of the direct sound, in samples after the click.</param>
/// <param name="DirectGain">Gain of the direct sound.</param>
public sealed record ImpulseResponse(float[] Samples, int Lead, double DirectSamples, double DirectGain)
{
    /// <summary>Energy of the direct sound over that of all reflections, in <see cref="SpeechBand"/>.</summary>
    public double DirectToReverberantDb()
    {
        var direct = new float[Samples.Length];
        new WindowedSinc().AddPulse(direct, Lead + DirectSamples, DirectGain);
        float[] reflections = [.. Samples.Zip(direct, (all, straight) => all - straight)];
        return 10 * Math.Log10(SpeechBand.Power(direct, [Range.All]) / SpeechBand.Power(reflections, [Range.All]));
    }
}
