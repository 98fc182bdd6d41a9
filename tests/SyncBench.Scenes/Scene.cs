namespace SyncBench.Scenes;

/// <summary>A stretch of speech in a scene.</summary>
/// <param name="IsSubject">Spoken by the subject (not by the interviewer).</param>
/// <param name="Start">Sample of the grid at which the mouth begins.</param>
/// <param name="At">Where the mouth is.</param>
public sealed record Utterance(bool IsSubject, int Start, float[] Samples, Point At)
{
    public int End => Start + Samples.Length;
}

/// <summary>Something wrong with one microphone for a while.</summary>
/// <param name="Start">Sample of the grid.</param>
/// <param name="GainDb">What the unit-scaled sound is raised by.</param>
public sealed record Disturbance(int Start, float[] Samples, double GainDb);

/// <summary>A microphone in a scene.</summary>
/// <param name="SpeechDb">
/// Level of the subject's speech in the sound that it gives, dB relative to full scale: root mean square in
/// <see cref="SpeechBand"/> while the subject speaks.
/// </param>
/// <param name="SnrDb">That level above the noise in the same band.</param>
/// <param name="RumbleDb">Traffic rumble's root mean square above that noise, 0 dB being as strong.</param>
public sealed record Microphone(
    string Name, Point At, PickupPattern Pattern, double SpeechDb, double SnrDb, double RumbleDb)
{
    public IReadOnlyList<Disturbance> Disturbances { get; init; } = [];
}

/// <summary>
/// A room in which people speak, on true time: a grid of <see cref="Air.SampleRateHz"/> samples from time zero.
/// </summary>
/// <param name="length">Samples of the grid.</param>
/// <param name="seed">Chooses all noise.</param>
public sealed class Scene(ShoeboxRoom room, IReadOnlyList<Utterance> utterances, int length, ulong seed)
{
    // One rumble for all microphones: a lorry outside is the same lorry everywhere, and at these wavelengths in step.
    private readonly Lazy<float[]> _rumble = new(() => Noise.Rumble(length, new SeededRandom(seed, "rumble")));

    public ShoeboxRoom Room { get; } = room;

    public IReadOnlyList<Utterance> Utterances { get; } = utterances;

    public int Length { get; } = length;

    /// <summary>All that the microphone gives, with room, noise and disturbances, before any device's clock.</summary>
    public float[] Hear(Microphone mic)
    {
        float[] sound = HearSpeech(mic);
        Range[] subject = [.. Utterances.Where(u => u.IsSubject).Select(u => u.Start..Math.Min(u.End, Length))];
        double speech = SpeechBand.Power(sound, subject);
        double level = Math.Pow(10, mic.SpeechDb / 10);
        Scale(sound, Math.Sqrt(level / speech));

        AddNoise(sound, mic);
        foreach (Disturbance disturbance in mic.Disturbances)
        {
            Add(sound, disturbance.Start, disturbance.Samples, Math.Pow(10, disturbance.GainDb / 20));
        }

        return sound;
    }

    /// <summary>The microphone's own noise and the traffic alone, as they are in <see cref="Hear"/>.</summary>
    public float[] HearNoise(Microphone mic)
    {
        var sound = new float[Length];
        AddNoise(sound, mic);
        return sound;
    }

    private void AddNoise(Span<float> sound, Microphone mic)
    {
        double noisePower = Math.Pow(10, (mic.SpeechDb - mic.SnrDb) / 10);
        float[] pink = Noise.Pink(Length, new SeededRandom(seed, mic.Name));
        int sample = Math.Min(Length, 30 * Air.SampleRateHz); // enough to know the power of steady noise
        Add(sound, 0, pink, Math.Sqrt(noisePower / SpeechBand.Power(pink, [0..sample])));

        double rumblePower = noisePower * Math.Pow(10, mic.RumbleDb / 10);
        Add(sound, 0, _rumble.Value, Math.Sqrt(rumblePower / MeanSquare(_rumble.Value)));
    }

    /// <summary>Speech and room alone; gain 1 is the direct sound at one metre.</summary>
    public float[] HearSpeech(Microphone mic)
    {
        var sound = new float[Length];
        foreach (Utterance utterance in Utterances)
        {
            Room.Path(utterance.At, mic.At, mic.Pattern).AddTo(sound, utterance.Start, utterance.Samples);
        }

        return sound;
    }

    private static double MeanSquare(ReadOnlySpan<float> sound)
    {
        double sum = 0;
        foreach (float sample in sound)
        {
            sum += (double)sample * sample;
        }

        return sum / sound.Length;
    }

    private static void Scale(Span<float> sound, double gain)
    {
        for (int i = 0; i < sound.Length; i++)
        {
            sound[i] *= (float)gain;
        }
    }

    private static void Add(Span<float> sound, int at, ReadOnlySpan<float> other, double gain)
    {
        for (int i = 0; i < other.Length && at + i < sound.Length; i++)
        {
            sound[at + i] += (float)(other[i] * gain);
        }
    }
}
