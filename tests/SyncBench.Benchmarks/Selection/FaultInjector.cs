using SyncBench.Scenes;
using SyncBench.Selection;
using SyncBench.Signal;

namespace SyncBench.Benchmarks.Selection;

/// <summary>Puts faults into the sound of a mic. Levels are relative to the mic's speech or to its own noise, as a listener would judge them.</summary>
internal static class FaultInjector
{
    private const int Rate = Air.SampleRateHz;

    /// <summary>Nearer than this, two bursts of one fault are one fault.</summary>
    private const double OneFaultSeconds = 0.6;

    /// <summary>Noise that has come up by this is plainly heard (common practice), if it stands free for so long; a word masks what follows at once.</summary>
    private const double HeardDb = 3;

    /// <summary>What is just noticed of a change of level (E. Zwicker and H. Fastl, Psychoacoustics; from memory).</summary>
    private const double NoticedDb = 1;

    private const double HeardSeconds = 0.1;

    private static readonly Convolver HighShape = SpectrumShape.Of(hz => hz < 1500 ? Math.Pow(hz / 1500, 2) : 1, 2048);

    /// <param name="speechDb">Root mean square of the mic's speech, dB relative to full scale.</param>
    /// <param name="noise">The mic's own noise, as it stands in the sound.</param>
    internal static IEnumerable<InjectedFault> Inject(float[] sound, FaultPlan plan, double speechDb, float[] noise)
    {
        int from = (int)(plan.From * Rate), to = Math.Min(sound.Length, (int)(plan.To * Rate));
        var random = new SeededRandom(plan.Seed, "fault");
        Span<float> here = sound.AsSpan(from, to - from);
        return plan.Kind switch
        {
            FaultKind.Wind => Added(sound, plan, from, Noise.Wind(here.Length, random), Math.Max(speechDb + By(plan, -2, 6, 14), Db(noise.AsSpan(from, here.Length)) + By(plan, 13, 18, 24)), 0.02),
            FaultKind.Rustle => Added(sound, plan, from, Noise.Rustle(here.Length, random), speechDb + By(plan, -14, -8, 0), 0.02),
            FaultKind.Hum => Added(sound, plan, from, Hum(here.Length, plan.Way, random), Math.Max(speechDb + By(plan, -24, -17, -9), Db(noise.AsSpan(from, here.Length)) + By(plan, -8, -3, 3)), 0.02),
            FaultKind.Hiss => Added(sound, plan, from, HighShape.Filter(White(here.Length, random)), HighDb(noise.AsSpan(from, here.Length)) + By(plan, 9, 15, 22), 0.02),
            FaultKind.Knock => Knocks(sound, plan, from, here.Length, speechDb, random),
            FaultKind.Clipping => Clipped(sound, plan, from, to, noise),
            FaultKind.Silence => Muted(here, plan),
            FaultKind.Pumping => Ridden(sound, plan, from, here.Length, speechDb, noise),
            FaultKind.Dropout => plan.Way == 0 ? Stuttering(sound, plan, from, to, random) : Faded(here, plan, random),
            _ => throw new ArgumentOutOfRangeException(nameof(plan), plan.Kind, "is no fault that can be put in"),
        };
    }

    private static double By(FaultPlan plan, double gentle, double middle, double strong) =>
        plan.Strength switch { Strength.Gentle => gentle, Strength.Middle => middle, _ => strong };

    /// <summary>Scaled to a root mean square in dB; its ends, faded or in gusts, are where it reaches a tenth of its highest.</summary>
    private static IEnumerable<InjectedFault> Added(
        float[] sound, FaultPlan plan, int at, float[] fault, double db, double fadeSeconds)
    {
        float gain = (float)(Math.Pow(10, db / 20) / Math.Sqrt(fault.Average(x => (double)x * x)));
        int fade = (int)(fadeSeconds * Rate);
        float heard = 0.1f * fault.Max(MathF.Abs);
        int first = Array.FindIndex(fault, x => MathF.Abs(x) >= heard), last = Array.FindLastIndex(fault, x => MathF.Abs(x) >= heard);
        for (int i = 0; i < fault.Length; i++)
        {
            float edge = Math.Min(1, Math.Min(i + 1, fault.Length - i) / (float)fade);
            sound[at + i] += gain * edge * fault[i];
        }

        yield return Truth(plan, at + first, at + last);
    }

    /// <summary>The mains' frequency and its harmonics. Way: 0 and 1 are 50 Hz, 2 and 3 are 60 Hz; odd ways are a rectifier's buzz, whose even harmonics are strong.</summary>
    private static float[] Hum(int count, int way, SeededRandom random)
    {
        double mains = (way < 2 ? 50 : 60) * (1 + random.Between(-4e-4, 4e-4)); // grids hold ±0.02 Hz as a rule (common practice)
        var hum = new float[count];
        for (int harmonic = 1; harmonic <= 10; harmonic++)
        {
            bool even = harmonic % 2 == 0;
            double height = (way % 2 == 1 ? (even ? 1 : 0.25) : (even ? 0.3 : 1)) / Math.Sqrt(harmonic) * random.Between(0.6, 1);
            double phase = random.Between(0, Math.Tau);
            for (int i = 0; i < count; i++)
            {
                hum[i] += (float)(height * Math.Sin((Math.Tau * mains * harmonic * i / Rate) + phase));
            }
        }

        return hum;
    }

    /// <summary>A table or a stand is struck, two to five times a second.</summary>
    private static IEnumerable<InjectedFault> Knocks(
        float[] sound, FaultPlan plan, int from, int length, double speechDb, SeededRandom random)
    {
        // Speech peaks about 14 dB above its root mean square.
        double peak = Math.Pow(10, (speechDb + 14 + By(plan, -4, 2, 8)) / 20);
        int first = -1, end = 0;
        for (int at = from; at < from + length - (Rate / 10); at += (int)(random.Between(0.2, 0.5) * Rate))
        {
            double hz = random.Between(70, 220), decay = random.Between(0.012, 0.035), height = peak * random.Between(0.7, 1);
            for (int i = 0; i < Rate / 8 && at + i < sound.Length; i++)
            {
                double t = (double)i / Rate;
                double click = t < 0.004 ? 0.4 * random.NextGaussian() * Math.Exp(-t / 0.001) : 0;
                sound[at + i] += (float)(height * Math.Min(1, t / 0.001) * ((Math.Exp(-t / decay) * Math.Sin(Math.Tau * hz * t)) + click));
            }

            first = first < 0 ? at : first;
            end = at + (int)(2.3 * decay * Rate); // fallen by 20 dB
        }

        if (first >= 0)
        {
            yield return Truth(plan, first, end);
        }
    }

    /// <summary>Way 0: cut at a level below full scale. Way 1: the talker raises the voice, and it is cut at full scale.</summary>
    private static IEnumerable<InjectedFault> Clipped(float[] sound, FaultPlan plan, int from, int to, float[] noise)
    {
        float[] sorted = [.. sound[from..to].Select(MathF.Abs).Order()];
        float level = Math.Max(0.06f, sorted[(int)(sorted.Length * (1 - By(plan, 0.001, 0.004, 0.02)))]);
        for (int i = from; plan.Way == 1 && i < to; i++)
        {
            float ramp = Math.Min(1, Math.Min(i - from, to - i) / (0.02f * Rate));
            sound[i] = noise[i] + ((sound[i] - noise[i]) * (1 + (((1 / level) - 1) * ramp)));
        }

        level = plan.Way == 1 ? 1 : level;
        int first = -1, last = -1;
        for (int i = from; i < to; i++)
        {
            bool cut = MathF.Abs(sound[i]) > level;
            if (cut && first >= 0 && i - last > OneFaultSeconds * Rate)
            {
                yield return Truth(plan, first, last);
                first = -1;
            }

            (first, last) = cut ? (first < 0 ? i : first, i) : (first, last);
            sound[i] = Math.Clamp(sound[i], -level, level);
        }

        if (first >= 0)
        {
            yield return Truth(plan, first, last);
        }
    }

    private static IEnumerable<InjectedFault> Muted(Span<float> here, FaultPlan plan)
    {
        here.Clear();
        return [Truth(plan, (int)(plan.From * Rate), (int)(plan.From * Rate) + here.Length)];
    }

    /// <summary>
    /// An automatic gain is switched on, comes up wherever it is not loud, and is switched off. It is heard in pauses only, as noise that
    /// has come up: a voice hides it.
    /// </summary>
    private static IEnumerable<InjectedFault> Ridden(float[] sound, FaultPlan plan, int from, int length, double speechDb, float[] noise)
    {
        Span<float> here = sound.AsSpan(from, length);
        float[] voiceDb = LevelDb([.. here.ToArray().Zip(noise.AsSpan(from, length).ToArray(), (all, own) => all - own)]);
        float[] noiseDb = LevelDb(noise[from..(from + length)]);
        float[] gainDb = new AutomaticGain(speechDb - 5, By(plan, 6, 10, 15), By(plan, 6, 10, 15)).Ride(here, Rate);
        (int noticedFirst, int noticedEnd) = Heard(NoticedDb);
        (int first, int end) = Heard(HeardDb);
        if (first >= 0)
        {
            yield return Truth(plan, from + first, from + end) with
            {
                NoticedFrom = (double)(from + noticedFirst) / Rate,
                NoticedTo = (double)(from + noticedEnd) / Rate,
            };
        }

        (int First, int End) Heard(double leastDb)
        {
            int begins = -1, ends = 0, begun = 0;
            for (int i = 0; i < length; i++)
            {
                begun = gainDb[i] >= leastDb && noiseDb[i] >= voiceDb[i] ? begun : i + 1;
                if (i + 1 - begun >= HeardSeconds * Rate)
                {
                    (begins, ends) = (begins < 0 ? begun : begins, i + 1);
                }
            }

            return (begins, ends);
        }
    }

    /// <summary>Of some 20 ms, above the rumble, at each sample.</summary>
    private static float[] LevelDb(float[] sound)
    {
        Biquad.HighPass(Rate, 200, 0.707).Process(sound, sound);
        double power = 0;
        return Array.ConvertAll(sound, x => (float)(10 * Math.Log10((power += ((x * x) - power) / (0.01 * Rate)) + 1e-12)));
    }

    /// <summary>A radio link that is lost and found again several times a second: mutes of 15 to 120 ms.</summary>
    private static IEnumerable<InjectedFault> Stuttering(float[] sound, FaultPlan plan, int from, int to, SeededRandom random)
    {
        const double ShortestMute = 0.015; // also the last, which the end of the stretch may cut: a loss of 1 ms is none
        int end = from;
        for (int at = from; to - at >= ShortestMute * Rate;)
        {
            int mute = (int)(random.Between(ShortestMute, 0.12) * Rate);
            end = Math.Min(to, at + mute);
            Array.Clear(sound, at, end - at);
            at += mute + (int)(random.Between(0.04, plan.Strength == Strength.Strong ? 0.15 : 0.35) * Rate);
        }

        yield return Truth(plan, from, end);
    }

    /// <summary>A link whose squelch closes softly on its own faint noise.</summary>
    private static IEnumerable<InjectedFault> Faded(Span<float> here, FaultPlan plan, SeededRandom random)
    {
        float rest = (float)Math.Pow(10, By(plan, -84, -90, -96) / 20);
        int fade = (int)(0.006 * Rate);
        for (int i = 0; i < here.Length; i++)
        {
            float gone = Math.Min(1, Math.Min(i, here.Length - 1 - i) / (float)fade);
            here[i] = (here[i] * (1 - gone)) + (rest * random.NextGaussian());
        }

        return [Truth(plan, (int)(plan.From * Rate), (int)(plan.From * Rate) + here.Length)];
    }

    private static InjectedFault Truth(FaultPlan plan, int first, int end) =>
        new(plan.Kind, plan.Way, plan.Strength, plan.Mic, (double)first / Rate, (double)end / Rate);

    private static double Db(ReadOnlySpan<float> sound) => 10 * Math.Log10(sound.ToArray().Average(x => (double)x * x));

    private static double HighDb(ReadOnlySpan<float> noise) => Db(HighShape.Filter(noise.ToArray()));

    private static float[] White(int count, SeededRandom random)
    {
        var noise = new float[count];
        for (int i = 0; i < count; i++)
        {
            noise[i] = random.NextGaussian();
        }

        return noise;
    }
}
