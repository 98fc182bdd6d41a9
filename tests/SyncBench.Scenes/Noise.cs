namespace SyncBench.Scenes;

/// <summary>Sounds that nobody wants. All are the same for the same seed; levels are relative, the scene scales them.</summary>
public static class Noise
{
    private static readonly Convolver PinkShape = SpectrumShape.Of(hz => hz < 20 ? 0 : 1 / Math.Sqrt(hz));
    private static readonly Convolver RumbleShape = SpectrumShape.Of(hz => hz is < 30 or > 120 ? 0 : Math.Sqrt(30 / hz));
    private static readonly Convolver WindShape = SpectrumShape.Of(WindGain, 16_384);
    private static readonly Convolver ClothShape = SpectrumShape.Band(1000, 8000, 2048);

    /// <summary>Power falls by 3 dB an octave from 20 Hz on: room tone and preamplifier hiss together.</summary>
    public static float[] Pink(int count, SeededRandom random) => PinkShape.Filter(White(count, random));

    /// <summary>Traffic beyond the wall: 30 to 120 Hz, coming and going over some ten seconds.</summary>
    public static float[] Rumble(int count, SeededRandom random)
    {
        float[] rumble = RumbleShape.Filter(White(count, random));
        Envelope(rumble, random, minSeconds: 4, maxSeconds: 12, lowDb: -12, highDb: 0);
        return rumble;
    }

    /// <summary>
    /// Wind on a microphone: turbulence below 150 Hz whose power falls by 6 dB an octave, steeper above, in gusts.
    /// </summary>
    /// <remarks>
    /// That wind noise is strongest below some hundred hertz and falls towards higher frequencies: C. M. Nelke,
    /// P. Vary, "Measurement, analysis and simulation of wind noise signals", 2014 (from memory).
    /// </remarks>
    public static float[] Wind(int count, SeededRandom random)
    {
        float[] wind = WindShape.Filter(White(count, random));
        Envelope(wind, random, minSeconds: 0.3, maxSeconds: 1.6, lowDb: -14, highDb: 0);
        FadeEnds(wind);
        return wind;
    }

    /// <summary>
    /// Cloth on a lavalier: scrapes of 1 to 8 kHz without pitch, six or so a second, some with a low bump.
    /// </summary>
    public static float[] Rustle(int count, SeededRandom random)
    {
        float[] scrape = ClothShape.Filter(White(count, random));
        var envelope = new float[count];
        var bumps = new float[count];
        for (double at = 0; at < count; at += random.Between(0.05, 0.28) * Air.SampleRateHz)
        {
            double rise = random.Between(0.004, 0.03) * Air.SampleRateHz;
            double fall = random.Between(0.03, 0.15) * Air.SampleRateHz;
            double height = Math.Pow(10, random.Between(-12, 0) / 20);
            int length = (int)(rise + (5 * fall));
            for (int i = 0; i < length && (int)at + i < count; i++)
            {
                double level = i < rise ? i / rise : Math.Exp(-(i - rise) / fall);
                envelope[(int)at + i] += (float)(height * level);
            }

            if (random.NextDouble() < 0.25)
            {
                AddBump(bumps.AsSpan((int)at), random.Between(45, 90), 2.5 * height);
            }
        }

        // ClothShape passes 7 of 24 kHz, so white noise of power 1 leaves it with 7/24.
        float toUnit = MathF.Sqrt(24f / 7);
        for (int i = 0; i < count; i++)
        {
            scrape[i] = (scrape[i] * toUnit * envelope[i]) + bumps[i];
        }

        FadeEnds(scrape);
        return scrape;
    }

    private static double WindGain(double hz) => hz switch
    {
        < 15 => 0,
        <= 150 => 30 / hz,
        _ => 0.2 * Math.Pow(150 / hz, 3),
    };

    private static float[] White(int count, SeededRandom random)
    {
        var noise = new float[count];
        for (int i = 0; i < count; i++)
        {
            noise[i] = random.NextGaussian();
        }

        return noise;
    }

    private static void AddBump(Span<float> sound, double hz, double height)
    {
        int length = Math.Min(sound.Length, Air.SampleRateHz / 8);
        for (int i = 0; i < length; i++)
        {
            double t = (double)i / Air.SampleRateHz;
            sound[i] += (float)(height * Math.Exp(-t / 0.03) * Math.Sin(2 * Math.PI * hz * t));
        }
    }

    /// <summary>Levels at random instants, joined by half waves of a cosine.</summary>
    private static void Envelope(
        Span<float> sound, SeededRandom random, double minSeconds, double maxSeconds, double lowDb, double highDb)
    {
        double Level() => Math.Pow(10, random.Between(lowDb, highDb) / 20);
        double from = Level();
        for (int at = 0; at < sound.Length;)
        {
            double to = Level();
            int length = (int)(random.Between(minSeconds, maxSeconds) * Air.SampleRateHz);
            for (int i = 0; i < length && at + i < sound.Length; i++)
            {
                sound[at + i] *= (float)(from + ((to - from) * (0.5 - (0.5 * Math.Cos(Math.PI * i / length)))));
            }

            at += length;
            from = to;
        }
    }

    /// <summary>A tenth of a second at each end, so that a fault does not start with a click.</summary>
    private static void FadeEnds(Span<float> sound)
    {
        int fade = Math.Min(Air.SampleRateHz / 10, sound.Length / 2);
        for (int i = 0; i < fade; i++)
        {
            sound[i] *= (float)i / fade;
            sound[^(i + 1)] *= (float)i / fade;
        }
    }
}
