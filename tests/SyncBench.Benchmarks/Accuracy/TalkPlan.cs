using System.Text.Json.Serialization;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>A clip to be cut out of what a camera hears.</summary>
/// <param name="Aac">Mixed at <see cref="TalkPlan.AacSnrDb"/> and taken through the codec; else the noise is kept apart.</param>
internal sealed record ClipPlan(double Seconds, int RateHz = 48_000, bool Aac = false);

/// <summary>A talk in a room, on one recorder (lavalier) and by cameras at some distances.</summary>
/// <param name="Strangers">Spoken by voices of its own, one for each seed, and not by Ines Harrow and Tom Brandt.</param>
/// <param name="SwayMetres">The subject's mouth is elsewhere by up to this much on each axis with every sentence.</param>
internal sealed record TalkPlan(
    string Name, ulong Seed, double Seconds, double Rt60, double SwayMetres, bool Strangers,
    IReadOnlyList<double> CameraMetres, IReadOnlyList<ClipPlan> Clips)
{
    /// <summary>
    /// Each sentence is spoken faster or slower by up to this share. The synthesiser says the same words in the same
    /// samples each time, as no one alive does, and small talk repeats itself; without this, clips that do not belong
    /// together would truly match.
    /// </summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public double TempoSpread { get; init; }

    internal const double AacSnrDb = 10;
}

/// <summary>A clip with its truth, in the cache.</summary>
/// <param name="Speech">File of the speech and room alone, or of all sound where <paramref name="Noise"/> is null.</param>
/// <param name="Noise">File of the noise at 0 dB; scaling it sets any other ratio, exactly.</param>
/// <param name="StartSeconds">t_recorder = StartSeconds + (1 + Ppm·10⁻⁶)·t_clip lines up the subject's voice.</param>
/// <param name="IsFar">The farther camera of the talk.</param>
/// <param name="DirectToReverberantDb">Of the subject, 200 to 7500 Hz.</param>
internal sealed record ClipTruth(
    ClipPlan Plan, string Speech, string? Noise, double StartSeconds, double Ppm, double Metres, bool IsFar,
    double DirectToReverberantDb);

/// <summary>A talk in the cache.</summary>
/// <param name="Recorder">File of the recorder's sound, 48 kHz.</param>
internal sealed record Talk(TalkPlan Plan, string Recorder, IReadOnlyList<ClipTruth> Clips);
