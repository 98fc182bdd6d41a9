namespace SyncBench.Scenes;

/// <summary>The band in which speech and noise are weighed against each other here: 200 to 7500 Hz.</summary>
/// <remarks>
/// Below it traffic is loud and speech is not, so a ratio over the whole band would say little about how hard a
/// sound is to match.
/// </remarks>
public static class SpeechBand
{
    private static readonly Convolver Band = SpectrumShape.Band(200, 7500, 2048);

    /// <summary>Mean power in the band over the given stretches (sample ranges), all together.</summary>
    public static double Power(ReadOnlySpan<float> sound, IReadOnlyList<Range> stretches)
    {
        double sum = 0;
        long count = 0;
        foreach (Range stretch in stretches)
        {
            ReadOnlySpan<float> part = sound[stretch];
            foreach (float sample in Band.Filter(part))
            {
                sum += (double)sample * sample;
            }

            count += part.Length;
        }

        return sum / count;
    }
}
