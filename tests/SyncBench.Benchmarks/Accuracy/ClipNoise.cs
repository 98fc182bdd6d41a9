using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>
/// Noise that makes 0 dB with the subject's speech at a camera, in 200 to 7500 Hz; and what the recorder hears of it.
/// </summary>
internal sealed class ClipNoise(Scene scene, Microphone camera, Microphone recorder, ulong seed)
{
    private static readonly Point[] Babblers =
    [
        new(6.9, 0.6, 1.2), new(6.4, 4.7, 1.6), new(4.9, 4.9, 1.2), new(7.2, 2.4, 1.6), new(3.1, 4.8, 1.6), new(0.5, 4.6, 1.2),
    ];

    private static readonly Point Loudspeaker = new(7.3, 4.9, 2.6);

    private readonly Dictionary<Microphone, double> _speechPower = [];

    /// <param name="atRecorder">Given the recorder's share, where the noise sounds in the room.</param>
    internal async Task<float[]> HeardAsync(NoiseKind kind, Action<float[]> atRecorder)
    {
        switch (kind)
        {
            case NoiseKind.Wind:
                return AtZeroDb(Noise.Wind(scene.Length, new SeededRandom(seed, "wind at " + camera.Name)));
            case NoiseKind.Babble:
                var random = new SeededRandom(seed, "babble");
                var voices = new List<(Point, float[])>();
                foreach (Point babbler in Babblers)
                {
                    voices.Add((babbler, await Casting.BabblerAsync(voices.Count, scene.Length, random)));
                }

                return InRoom(voices, atRecorder);
            case NoiseKind.Music:
                return InRoom([(Loudspeaker, MusicLoop.Play(scene.Length))], atRecorder);
            default:
                return scene.HearNoise(camera with { SnrDb = 0 });
        }
    }

    private float[] InRoom(IReadOnlyList<(Point At, float[] Sound)> sources, Action<float[]> atRecorder)
    {
        float[] heard = Heard(sources, camera);
        double gain = Math.Sqrt(SpeechPower(camera) / Power(heard));
        atRecorder(Times(Heard(sources, recorder), gain * Gain(recorder)));
        return Times(heard, gain * Gain(camera));
    }

    private float[] AtZeroDb(float[] noise) =>
        Times(noise, Math.Sqrt(Math.Pow(10, camera.SpeechDb / 10) / Power(noise)));

    private float[] Heard(IReadOnlyList<(Point At, float[] Sound)> sources, Microphone mic)
    {
        var sound = new float[scene.Length];
        foreach ((Point at, float[] source) in sources)
        {
            scene.Room.Path(at, mic.At, mic.Pattern).AddTo(sound, 0, source);
        }

        return sound;
    }

    /// <summary>By which the scene raises what a microphone hears.</summary>
    private double Gain(Microphone mic) => Math.Sqrt(Math.Pow(10, mic.SpeechDb / 10) / SpeechPower(mic));

    private double SpeechPower(Microphone mic)
    {
        if (!_speechPower.TryGetValue(mic, out double power))
        {
            power = SpeechBand.Power(
                scene.HearSpeech(mic),
                [.. scene.Utterances.Where(u => u.IsSubject).Select(u => u.Start..Math.Min(u.End, scene.Length))]);
            _speechPower[mic] = power;
        }

        return power;
    }

    private static double Power(float[] sound) => SpeechBand.Power(sound, [Range.All]);

    private static float[] Times(float[] sound, double gain) => Array.ConvertAll(sound, sample => (float)(sample * gain));
}
