namespace SyncBench.Selection;

/// <summary>How far the talker stands above a mic's noise, in the bands that carry speech.</summary>
/// <remarks>
/// Σ over bands of importance × speech-to-noise ratio (the weights of ANSI S3.5-1997). The standard limits a band's ratio
/// to −15..+15 dB because more does not add intelligibility; noise at −15 dB is still heard, so here the upper limit is
/// +35 dB. The speech is the trusted mic's, carried to this mic by their <see cref="SpeechMatch"/>: a mic's own level would
/// count its rustle as speech, and would prefer whichever mic the interviewer is nearer to.
/// </remarks>
internal static class SpeechToNoise
{
    public const float LowestDb = -25;
    public const float HighestDb = 35;

    /// <summary>(signal+noise)/noise of i/2 dB with the noise taken off, in dB; entry 0 is 0 dB.</summary>
    private static readonly float[] Ratio = [.. Enumerable.Range(0, 256).Select(i =>
        i == 0 ? -20 : 10 * MathF.Log10(MathF.Pow(10, i / 20f) - 1))];

    /// <summary>dB, one for each step of the mic.</summary>
    /// <param name="levels">Of every mic of the take.</param>
    /// <param name="trusted">The mic whose speech is believed at each step of the grid.</param>
    /// <param name="wearer">Whose voice it is at each step of the grid.</param>
    /// <param name="matches">[wearer][other]: match of this mic (first) with each other; null where it has none.</param>
    public static float[] Of(int mic, MicTrack track, MicLevels[] levels, int[] trusted, byte[] wearer, float[]?[][] matches)
    {
        var ratios = new float[track.Count];
        for (int i = 0; i < ratios.Length; i++)
        {
            int step = track.First + i;
            int other = trusted[step];
            float[]? match = matches[wearer[step]][other];
            MicLevels speech = match is null ? levels[mic] : levels[other];
            ratios[i] = At(speech.Speech(step), speech.Noise(step), match, levels[mic].Noise(step));
        }

        return ratios;
    }

    /// <summary>What a mic reads by itself at a step of the grid: its own level against its own floor.</summary>
    public static float Own(MicTrack track, int step) =>
        At(track.Levels(step), track.Noise(step), match: null, track.Noise(step));

    private static float At(
        ReadOnlySpan<byte> speech, ReadOnlySpan<byte> speechNoise, float[]? match, ReadOnlySpan<byte> noise)
    {
        float sum = 0;
        for (int band = SpeechBands.First; band < speech.Length; band++)
        {
            float clean = Ratio[Math.Max(0, speech[band] - speechNoise[band])];
            float moved = clean + ((speechNoise[band] - noise[band] + (match is null ? 0 : match[band])) * 0.5f);
            sum += SpeechBands.Importance[band] * Math.Clamp(moved, LowestDb, HighestDb);
        }

        return sum;
    }
}
