using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;

namespace SyncBench.Tests.Selection;

/// <summary>Seeded sounds at 16 kHz and their measurement.</summary>
internal static class TestSound
{
    public const int Rate = 16_000;

    /// <summary>Gaussian white noise; the gain is its root mean square.</summary>
    public static float[] White(double seconds, int seed, float gain)
    {
        var random = new Random(seed);
        var samples = new float[(int)(seconds * Rate)];
        for (int n = 0; n < samples.Length; n++)
        {
            samples[n] = gain * Gaussian(random);
        }

        return samples;
    }

    /// <summary>Noise that falls 3 dB an octave, as a sum of first-order low passes an octave apart.</summary>
    public static float[] Pink(double seconds, int seed, float gain)
    {
        float[] white = White(seconds, seed, 1);
        var pink = new float[white.Length];
        for (double corner = 10; corner < 8000; corner *= 4)
        {
            double pole = Math.Exp(-2 * Math.PI * corner / Rate), state = 0, scale = Math.Sqrt(1 - (pole * pole));
            for (int n = 0; n < white.Length; n++)
            {
                state = (pole * state) + (scale * white[n]);
                pink[n] += (float)state * gain * 0.5f;
            }
        }

        return pink;
    }

    /// <summary>
    /// Speech-like: syllables of 120 to 300 ms (voiced with a falling harmonic spectrum under two moving resonances, some
    /// led by a hiss), in phrases of 1 to 4 s with pauses of 0.25 to 1 s. The gain is near the root mean square in speech.
    /// </summary>
    public static float[] Speech(double seconds, int seed, float gain, double voiceHz = 120)
    {
        var random = new Random(seed);
        var samples = new float[(int)(seconds * Rate)];
        int at = Rate / 3;
        while (at < samples.Length)
        {
            int phraseEnd = at + (int)((1 + (3 * random.NextDouble())) * Rate);
            while (at < Math.Min(phraseEnd, samples.Length))
            {
                at = Syllable(samples, at, random, gain, voiceHz);
            }

            at += (int)((0.25 + (0.75 * random.NextDouble())) * Rate);
        }

        return samples;
    }

    /// <summary>What a mic across the room hears: the direct sound and forty reflections that die away in 0.3 s.</summary>
    public static float[] InRoom(float[] dry, int seed, float reflections = 0.35f)
    {
        var random = new Random(seed);
        var wet = (float[])dry.Clone();
        for (int tap = 0; tap < 40; tap++)
        {
            int delay = (int)((0.003 + (0.3 * random.NextDouble())) * Rate);
            float gain = reflections * Gaussian(random) * (float)Math.Exp(-6.9 * delay / (0.4 * Rate));
            for (int n = delay; n < wet.Length; n++)
            {
                wet[n] += gain * dry[n - delay];
            }
        }

        return wet;
    }

    /// <summary>Cloth: scrapes of 20 to 150 ms of high-passed noise, six a second.</summary>
    public static float[] Cloth(double seconds, int seed, float gain)
    {
        var random = new Random(seed);
        float[] white = White(seconds, seed + 1, 1);
        var cloth = new float[white.Length];
        for (double at = 0; at < cloth.Length; at += (0.05 + (0.23 * random.NextDouble())) * Rate)
        {
            double fall = (0.03 + (0.12 * random.NextDouble())) * Rate;
            double height = gain * Math.Pow(10, -12 * random.NextDouble() / 20);
            for (int n = (int)at; n < Math.Min(cloth.Length, at + (5 * fall)); n++)
            {
                cloth[n] += (float)(height * Math.Exp(-(n - at) / fall) * (n == 0 ? 0 : white[n] - white[n - 1]));
            }
        }

        return cloth;
    }

    /// <summary>Wind: noise that falls steeply above 60 Hz, in gusts.</summary>
    public static float[] Wind(double seconds, int seed, float gain)
    {
        float[] wind = White(seconds, seed, 1);
        double pole = Math.Exp(-2 * Math.PI * 60 / Rate), one = 0, two = 0;
        for (int n = 0; n < wind.Length; n++)
        {
            one = (pole * one) + ((1 - pole) * wind[n]);
            two = (pole * two) + ((1 - pole) * one);
            double gust = Math.Pow(10, (-6 + (6 * Math.Sin(2 * Math.PI * 0.7 * n / Rate))) / 20);
            wind[n] = (float)(gain * 16 * gust * two);
        }

        return wind;
    }

    /// <summary>The mains and nine harmonics, each with a phase of its own; the gain is their root mean square.</summary>
    /// <param name="mainsHz">At a time in seconds.</param>
    public static float[] Hum(double seconds, float gain, Func<double, double> mainsHz)
    {
        var hum = new float[(int)(seconds * Rate)];
        double turn = 0;
        for (int n = 0; n < hum.Length; n++)
        {
            turn += mainsHz((double)n / Rate) / Rate;
            for (int harmonic = 1; harmonic <= 10; harmonic++)
            {
                hum[n] += (float)(gain * Math.Sqrt(0.2) * Math.Sin((2 * Math.PI * harmonic * turn) + (harmonic * harmonic)));
            }
        }

        return hum;
    }

    public static float[] Sum(params float[][] parts) =>
        [.. Enumerable.Range(0, parts[0].Length).Select(n => parts.Sum(part => part[n]))];

    public static float[] Gain(float[] samples, double db) =>
        [.. samples.Select(x => x * (float)Math.Pow(10, db / 20))];

    /// <summary>The same sound with a gain in dB that depends on time in seconds.</summary>
    public static float[] Envelope(float[] samples, Func<double, double> db) =>
        [.. samples.Select((x, n) => x * (float)Math.Pow(10, db((double)n / Rate) / 20))];

    /// <summary>Only from..to seconds; silence elsewhere.</summary>
    public static float[] Only(float[] samples, double from, double to) =>
        [.. samples.Select((x, n) => n >= from * Rate && n < to * Rate ? x : 0)];

    public static BandLevels Levels(float[] samples) => Measure(samples).Bands[0];

    /// <summary>One clip with these channels.</summary>
    public static ClipSound Measure(params float[][] channels)
    {
        var listeners = new SelectionListeners(channels.Length);
        int length = channels[0].Length;
        for (int start = 0; start < length; start += 16_000)
        {
            float[][] pieces = [.. channels.Select(c => c[start..Math.Min(length, start + 16_000)])];
            var block = new SoundBlock(Rate, pieces, pieces[0].Length, pieces, pieces[0].Length);
            listeners.Hear(block);
        }

        listeners.Finish();
        return listeners.Sound;
    }

    private static int Syllable(float[] samples, int at, Random random, float gain, double voiceHz)
    {
        int length = (int)((0.12 + (0.18 * random.NextDouble())) * Rate);
        double f0 = voiceHz * (0.85 + (0.3 * random.NextDouble()));
        double first = 300 + (500 * random.NextDouble()), second = 900 + (1400 * random.NextDouble());
        double loudness = gain * Math.Pow(10, ((random.NextDouble() * 12) - 8) / 20);
        int hiss = random.Next(3) == 0 ? (int)(0.08 * Rate) : 0;
        double last = 0;
        for (int n = 0; n < hiss && at + n < samples.Length; n++)
        {
            double white = Gaussian(random);
            samples[at + n] += (float)(0.25 * loudness * (white - last) * Math.Sin(Math.PI * n / hiss));
            last = white;
        }

        at += hiss;
        int harmonics = (int)(5000 / f0);
        var weights = new double[harmonics + 1];
        double sum = 0;
        for (int h = 1; h <= harmonics; h++)
        {
            double f = h * f0;
            weights[h] = (1 / (1 + Math.Pow((f - first) / 120, 2))) + (0.5 / (1 + Math.Pow((f - second) / 200, 2))) + 0.02;
            sum += weights[h] * weights[h] / 2;
        }

        for (int n = 0; n < length && at + n < samples.Length; n++)
        {
            double rise = Math.Min(1, Math.Min(n, length - n) / (0.02 * Rate));
            double value = 0;
            for (int h = 1; h <= harmonics; h++)
            {
                value += weights[h] * Math.Sin(2 * Math.PI * h * f0 * n / Rate);
            }

            samples[at + n] += (float)(loudness * rise * value / Math.Sqrt(sum));
        }

        return at + length + (int)(0.03 * random.NextDouble() * Rate);
    }

    private static float Gaussian(Random random) =>
        (float)(Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble()));
}
