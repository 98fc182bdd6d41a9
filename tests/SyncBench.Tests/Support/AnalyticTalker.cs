namespace SyncBench.Tests.Support;

/// <summary>
/// A talker whose sound is a formula of time, so that any clock can sample it exactly, without a resampler: twelve
/// short chirps a second between 200 Hz and 7 kHz, gathered into phrases with pauses between.
/// </summary>
internal sealed class AnalyticTalker
{
    private readonly record struct Chirp(double At, double Width, double Hz, double HzPerSecond, double Phase, double Gain);

    private readonly Chirp[] _chirps;

    internal AnalyticTalker(int seed, double seconds)
    {
        var random = new Random(seed);
        var chirps = new List<Chirp>();
        double pauseUntil = 0, phraseUntil = 0;
        for (double at = 0; at < seconds; at += (1 / 12.0) * (0.4 + (1.2 * random.NextDouble())))
        {
            if (at > phraseUntil)
            {
                pauseUntil = at + 0.3 + random.NextDouble();
                phraseUntil = pauseUntil + 1 + (3 * random.NextDouble());
            }

            if (at < pauseUntil)
            {
                continue;
            }

            chirps.Add(new Chirp(
                at, 0.012 + (0.03 * random.NextDouble()), 200 * Math.Pow(30, random.NextDouble()),
                (random.NextDouble() - 0.5) * 8000, 2 * Math.PI * random.NextDouble(), 0.05 + (0.2 * random.NextDouble())));
        }

        _chirps = [.. chirps];
    }

    /// <summary>
    /// Adds the talker as a device hears it: sample n is true time <c>start + n/rate·(1 − ppm·10⁻⁶)</c> less the way of
    /// the sound, for a device whose clock runs fast by <paramref name="ppm"/>.
    /// </summary>
    internal void AddTo(Span<float> samples, double rate, double start, double ppm, double delay, double gain)
    {
        double step = (1 - (ppm * 1e-6)) / rate;
        foreach (Chirp chirp in _chirps)
        {
            double middle = (chirp.At + delay - start) / step, reach = 4.5 * chirp.Width / step;
            int from = (int)Math.Max(0, middle - reach), to = (int)Math.Min(samples.Length, middle + reach);
            for (int n = from; n < to; n++)
            {
                double t = start + (n * step) - delay - chirp.At;
                double envelope = Math.Exp(-0.5 * t * t / (chirp.Width * chirp.Width));
                double phase = chirp.Phase + (2 * Math.PI * t * (chirp.Hz + (0.5 * chirp.HzPerSecond * t)));
                samples[n] += (float)(gain * chirp.Gain * envelope * Math.Sin(phase));
            }
        }
    }
}
