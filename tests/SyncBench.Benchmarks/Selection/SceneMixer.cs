using SyncBench.Scenes;
using SyncBench.Selection;

namespace SyncBench.Benchmarks.Selection;

/// <summary>Mixes takes out of one talk: speech, noise, faults.</summary>
internal sealed class SceneMixer(TalkBase talk)
{
    /// <summary>Traffic, the same for every mic, above the noise of each.</summary>
    private const double RumbleDb = 3;

    private readonly float[] _rumble = AtUnit(
        Noise.Rumble(talk.Speech[0].Length, new SeededRandom(talk.Plan.Seed, "rumble")), sound => sound.Average(x => (double)x * x));

    private readonly float[][] _noise =
    [
        .. talk.Plan.Mics.Select(mic => AtUnit(
            Noise.Pink(talk.Speech[0].Length, new SeededRandom(talk.Plan.Seed, mic.Name)), sound => SpeechBand.Power(sound, [Range.All]))),
    ];

    private double[]? _weightedDb;

    internal TalkBase Talk => talk;

    /// <summary>Importance-weighted speech to noise of each mic where speech and noise are as loud, in dB.</summary>
    private double[] WeightedDb => _weightedDb ??=
    [
        .. talk.Speech.Select((speech, mic) =>
            ImportanceWeighted.Db(speech, talk.Subject) - ImportanceWeighted.Db(_noise[mic], [(0, talk.Plan.Seconds)])),
    ];

    /// <summary>Every mic as a 16-bit recording has it.</summary>
    /// <param name="snrDb">
    /// Of each mic at each second, weighted by the importance of the bands as the choice is, instead of what its plan says.
    /// </param>
    internal float[][] Mix(IReadOnlyList<FaultPlan> faults, out List<InjectedFault> injected, Func<int, double, double>? snrDb = null)
    {
        injected = [];
        var sounds = new float[talk.Plan.Mics.Count][];
        for (int mic = 0; mic < sounds.Length; mic++)
        {
            MicPlan plan = talk.Plan.Mics[mic];
            var noise = new float[_rumble.Length];
            for (int n = 0; n < noise.Length; n++)
            {
                double below = snrDb is null ? plan.SnrDb : snrDb(mic, (double)n / Air.SampleRateHz) - WeightedDb[mic];
                noise[n] = (_noise[mic][n] + (Amplitude(RumbleDb) * _rumble[n])) * Amplitude(plan.SpeechDb - below);
            }

            float gain = Amplitude(plan.SpeechDb);
            float[] sound = [.. talk.Speech[mic].Select((x, n) => (x * gain) + noise[n])];
            foreach (FaultPlan fault in faults.Where(fault => fault.Mic == mic))
            {
                injected.AddRange(FaultInjector.Inject(sound, fault, plan.SpeechDb, noise));
            }

            AddCutAtFullScale(sound, mic, injected);
            sounds[mic] = Array.ConvertAll(sound, x => Math.Clamp(MathF.Round(x * 32768), -32768, 32767) / 32768);
        }

        return sounds;
    }

    /// <summary>Strong faults drive a mic into clipping, which is then as true as one that was put in.</summary>
    private static void AddCutAtFullScale(float[] sound, int mic, List<InjectedFault> injected)
    {
        const double OneFaultSeconds = 0.6;
        int first = -1, last = -1;
        for (int i = 0; i <= sound.Length; i++)
        {
            bool cut = i < sound.Length && MathF.Abs(sound[i]) > 1.0001f;
            if (first >= 0 && (i == sound.Length || (cut && i - last > OneFaultSeconds * Air.SampleRateHz)))
            {
                injected.Add(new InjectedFault(
                    FaultKind.Clipping, Way: 2, Strength.Gentle, mic, (double)first / Air.SampleRateHz, (double)last / Air.SampleRateHz));
                first = -1;
            }

            (first, last) = cut ? (first < 0 ? i : first, i) : (first, last);
        }
    }

    private static float[] AtUnit(float[] sound, Func<float[], double> power)
    {
        float gain = (float)(1 / Math.Sqrt(power(sound)));
        return Array.ConvertAll(sound, x => x * gain);
    }

    private static float Amplitude(double db) => (float)Math.Pow(10, db / 20);
}
