using SyncBench.Signal.Loudness;

namespace SyncBench.Tests.Standards.Loudness;

/// <summary>Test signals of EBU Tech 3341 and 3342: sines of 1 kHz at 48 kHz, piece after piece, and their measurement.</summary>
internal static class Programme
{
    internal const int RateHz = 48_000;

    /// <summary>The same sine left and right.</summary>
    /// <param name="pieces">Peak level in dB relative to full scale and length; −∞ for silence.</param>
    internal static LoudnessFigures Stereo(params (double Dbfs, double Seconds)[] pieces)
    {
        float[] tone = Tone(pieces);
        return Measure((tone, 1), (tone, 1));
    }

    /// <param name="channels">Sound and weight: ITU-R BS.1770 counts left, right and centre by 1, surrounds by 1.41.</param>
    internal static LoudnessFigures Measure(params (float[] Sound, double Weight)[] channels) =>
        LoudnessFigures.Of(Powers(channels), channels.SelectMany(channel => Track(channel.Sound).Peaks.ToArray()).Max());

    internal static float[] Powers(params (float[] Sound, double Weight)[] channels)
    {
        var sum = new float[Track(channels[0].Sound).Powers.Length];
        foreach ((float[] sound, double weight) in channels)
        {
            ReadOnlySpan<float> powers = Track(sound).Powers;
            for (int step = 0; step < sum.Length; step++)
            {
                sum[step] += (float)(weight * powers[step]);
            }
        }

        return sum;
    }

    internal static LoudnessTrack Track(float[] sound, int rateHz = RateHz)
    {
        var meter = new LoudnessMeter(rateHz);
        meter.Add(sound);
        return meter.Finish();
    }

    internal static float[] Tone(params (double Dbfs, double Seconds)[] pieces)
    {
        var samples = new List<float>();
        foreach ((double dbfs, double seconds) in pieces)
        {
            float gain = (float)Math.Pow(10, dbfs / 20);
            for (int left = (int)Math.Round(seconds * RateHz); left > 0; left--)
            {
                samples.Add(gain * MathF.Sin(2 * MathF.PI * (samples.Count % 48) / 48));
            }
        }

        return [.. samples];
    }
}
