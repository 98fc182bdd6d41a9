using System.Text.Json.Serialization;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>A clip to be cut out of what a camera hears.</summary>
/// <param name="Aac">Mixed at <see cref="TalkPlan.AacSnrDb"/> and taken through the codec; else the noise is kept apart.</param>
internal sealed record ClipPlan(double Seconds, int RateHz = 48_000, bool Aac = false)
{
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public NoiseKind Noise { get; init; }

    /// <summary>See <see cref="DeviceClock.WarmingPpm"/>.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public double WarmingPpm { get; init; }
}

/// <summary>A talk in a room, on one recorder (lavalier) and by cameras at some distances.</summary>
/// <param name="Strangers">Spoken by voices of its own, one for each seed, and not by Ines Harrow and Tom Brandt.</param>
/// <param name="SwayMetres">The subject's mouth is elsewhere by up to this much on each axis with every sentence.</param>
internal sealed record TalkPlan(
    string Name, ulong Seed, double Seconds, double Rt60, double SwayMetres, bool Strangers,
    IReadOnlyList<double> CameraMetres, IReadOnlyList<ClipPlan> Clips)
{
    /// <summary>
    /// The tempo wanders by up to this share, some six times a second. The synthesiser says the same words in the same
    /// samples each time, as no one alive does, and small talk repeats itself; without this, clips that do not belong
    /// together would truly match. (A tempo of its own for each sentence is not enough: docs/alignment.md.)
    /// </summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public double TempoWander { get; init; }

    /// <summary>Spoken by people, whose prompts are laid out as a talk; null where a synthesiser speaks.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public PromptCast? People { get; init; }

    /// <summary>Names the group of trials that this talk is for.</summary>
    [JsonIgnore]
    public string Kind { get; init; } = Trials.Main;

    internal const double AacSnrDb = 10;
}

/// <summary>A clip with its truth, in the cache.</summary>
/// <param name="Speech">File of the speech and room alone, or of all sound where <paramref name="Noise"/> is null.</param>
/// <param name="Noise">File of the noise at 0 dB; scaling it sets any other ratio, exactly.</param>
/// <param name="StartSeconds">t_recorder = StartSeconds + (1 + Ppm·10⁻⁶)·t_clip lines up the subject's voice (a warming clock apart).</param>
/// <param name="IsFar">The farther camera of the talk.</param>
/// <param name="DirectToReverberantDb">Of the subject, 200 to 7500 Hz.</param>
internal sealed record ClipTruth(
    ClipPlan Plan, string Speech, string? Noise, double StartSeconds, double Ppm, double Metres, bool IsFar,
    double DirectToReverberantDb)
{
    /// <summary>Share of the clip in which the subject speaks.</summary>
    public double SubjectShare { get; init; }

    /// <summary>Where in the recorder's sound the subject's voice lies that the clip holds at a time.</summary>
    internal double InRecorder(double clipSeconds) =>
        StartSeconds + new DeviceClock(Ppm) { WarmingPpm = Plan.WarmingPpm }.TrueSecondsAt(clipSeconds);
}

/// <summary>A talk in the cache.</summary>
/// <param name="Recorder">File of the recorder's sound, 48 kHz.</param>
internal sealed record Talk(TalkPlan Plan, string Recorder, IReadOnlyList<ClipTruth> Clips)
{
    /// <summary>What the recorder hears of a noise that sounds in the room, where it makes 0 dB at the camera.</summary>
    internal static string RecorderNoise(NoiseKind kind) => $"recorder-{kind}";
}
