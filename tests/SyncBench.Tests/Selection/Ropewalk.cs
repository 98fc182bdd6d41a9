using System.Collections.Concurrent;
using SyncBench.Scenes;
using SyncBench.Signal;

namespace SyncBench.Tests.Selection;

/// <summary>
/// The interview at the ropewalk as its microphones hear it, at 16 kHz: espeak-ng's voices in a room with traffic, wind and
/// cloth. True time is the common clock; the devices' clocks are other tests' business.
/// </summary>
internal static class Ropewalk
{
    private const ulong Seed = 77;

    private static readonly Point Subject = new(2.00, 2.60, 1.20);
    private static readonly Point Interviewer = new(4.20, 1.60, 1.20);
    private static readonly Lazy<Task<Rehearsal>> Rehearsed = new(() => Rehearsal.OfAsync(
        [.. Interview.Lines.Take(8)], firstWordSeconds: 4, breakSeconds: 0, Seed));

    private static readonly ConcurrentDictionary<string, Lazy<Task<Parts>>> Made = new(StringComparer.Ordinal);

    private static readonly ShoeboxRoom Room = new(new Point(7.2, 5.1, 3.0), 0.45);

    public static Microphone Lavalier { get; } =
        new("lavalier", new Point(2.07, 2.60, 0.96), PickupPattern.AllRound, SpeechDb: -24, SnrDb: 32, RumbleDb: 4);

    public static Microphone Shotgun { get; } =
        new("shotgun", new Point(2.55, 2.55, 1.905), PickupPattern.Supercardioid(Subject), SpeechDb: -26, SnrDb: 22, RumbleDb: 6);

    public static Microphone Scratch { get; } =
        new("scratch", new Point(4.90, 3.94, 1.40), PickupPattern.AllRound, SpeechDb: -30, SnrDb: 11, RumbleDb: 8);

    /// <summary>When the subject (or the interviewer) speaks, in seconds.</summary>
    public static async Task<(double From, double To)[]> SentencesAsync(Speaker speaker) =>
        [.. (await Rehearsed.Value).Sentences
            .Where(sentence => sentence.Line.Speaker == speaker)
            .Select(s => ((double)s.Start / Air.SampleRateHz, (double)s.End / Air.SampleRateHz))];

    /// <summary>How much later than the lavalier a microphone hears the subject.</summary>
    public static double LateSeconds(Microphone mic) =>
        Air.TravelSeconds(Subject.DistanceTo(mic.At) - Subject.DistanceTo(Lavalier.At));

    /// <summary>The subject's direct sound over the echo, as the room was built.</summary>
    public static double DirectToReverberantDb(Microphone mic) =>
        Room.Response(Subject, mic.At, mic.Pattern).DirectToReverberantDb();

    public static async Task<IReadOnlyList<SpokenTurn>> TurnsAsync() => (await Rehearsed.Value).Turns;

    /// <summary>What a microphone hears, mixed at 16 kHz from parts that are made once.</summary>
    /// <param name="snrDb">Subject's speech over noise in 200 to 7500 Hz; traffic rumbles under it.</param>
    public static async Task<float[]> HearAsync(Microphone mic, double snrDb, float[]? disturbance = null)
    {
        Parts parts = await Made.GetOrAdd(mic.Name, _ => new Lazy<Task<Parts>>(() => MakeAsync(mic))).Value;
        double noise = mic.SpeechDb - snrDb;
        float speechGain = Amplitude(mic.SpeechDb), noiseGain = Amplitude(noise), rumbleGain = Amplitude(noise + mic.RumbleDb);
        return [.. parts.Speech.Select((x, n) => (x * speechGain) + (parts.Noise[n] * noiseGain)
            + (parts.Rumble[n] * rumbleGain) + (disturbance is null || n >= disturbance.Length ? 0 : disturbance[n]))];
    }

    /// <summary>Cloth from a second on, for some seconds, at 16 kHz.</summary>
    public static float[] Rustle(double at, double seconds, double gainDb) =>
        Placed(Noise.Rustle((int)(seconds * Air.SampleRateHz), new SeededRandom(Seed, "rustle")), at, gainDb);

    /// <inheritdoc cref="Rustle"/>
    public static float[] Wind(double at, double seconds, double gainDb) =>
        Placed(Noise.Wind((int)(seconds * Air.SampleRateHz), new SeededRandom(Seed, "wind")), at, gainDb);

    private static float[] Placed(float[] sound, double at, double gainDb)
    {
        float gain = Amplitude(gainDb);
        return [.. new float[(int)(at * TestSound.Rate)], .. Decimated(sound).Select(x => x * gain)];
    }

    private static async Task<Parts> MakeAsync(Microphone mic)
    {
        Rehearsal rehearsal = await Rehearsed.Value;
        int length = rehearsal.Sentences.Max(sentence => sentence.End) + (3 * Air.SampleRateHz);
        var scene = new Scene(
            Room,
            [.. rehearsal.Sentences.Select(s => new Utterance(
                s.Line.Speaker == Speaker.Subject, s.Start, s.Samples,
                s.Line.Speaker == Speaker.Subject ? Subject : Interviewer))],
            length,
            Seed);
        float[] speech = scene.HearSpeech(mic);
        float[] pink = Noise.Pink(length, new SeededRandom(Seed, mic.Name));
        float[] rumble = Noise.Rumble(length, new SeededRandom(Seed, "rumble")); // one lorry for all microphones
        Range[] subject = [.. scene.Utterances.Where(u => u.IsSubject).Select(u => u.Start..u.End)];
        return new Parts(
            AtUnit(speech, SpeechBand.Power(speech, subject)),
            AtUnit(pink, SpeechBand.Power(pink, [Range.All])),
            AtUnit(rumble, rumble.Average(x => (double)x * x)));
    }

    private static float[] AtUnit(float[] sound, double power)
    {
        float gain = (float)(1 / Math.Sqrt(power));
        return [.. Decimated(sound).Select(x => x * gain)];
    }

    private static float Amplitude(double db) => (float)Math.Pow(10, db / 20);

    private static float[] Decimated(float[] sound)
    {
        var resampler = new RationalResampler(Air.SampleRateHz, TestSound.Rate);
        var output = new float[resampler.MaxOutput(sound.Length) + 4096];
        int written = resampler.Process(sound, output);
        written += resampler.Finish(output.AsSpan(written));
        return output[..written];
    }

    /// <summary>Each at power one: speech and noise in the speech band, rumble over all.</summary>
    private sealed record Parts(float[] Speech, float[] Noise, float[] Rumble);
}
