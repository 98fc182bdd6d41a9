namespace SyncBench.Selection;

/// <summary>Another mic that would hear a voice, too.</summary>
/// <param name="Match">By how much the mic that is judged hears the talkers louder.</param>
/// <param name="Lost">Steps of this mic at which it is no witness.</param>
internal sealed record Witness(MicTrack Track, MicMatch Match, bool[] Lost)
{
    /// <summary>A sound comes to two mics a few steps apart.</summary>
    public const int Reach = 2;

    /// <summary>Under 300 Hz a room answers with modes that beat: when a vowel ends, the farther mic may swell though the nearer one falls.</summary>
    public const int Answer = 5;

    /// <summary>Half decibels above its noise from where on a mic clearly hears something itself.</summary>
    private const int Clear = 12;

    public bool Hears(int step) => Track.Rolls(step) && !Lost[step - Track.First];

    /// <summary>Narrows what may be read by what one other mic hears: to the lowest of them all, but what one clearly hears is vouched for.</summary>
    /// <param name="heard">The highest levels within reach, in the bands that are asked for.</param>
    public static void Narrow(
        ReadOnlySpan<byte> heard, ReadOnlySpan<byte> noise, float[] match, int first, Span<float> lowest, Span<float> vouched)
    {
        for (int band = first; band < heard.Length; band++)
        {
            float limit = heard[band] + match[band];
            lowest[band] = Math.Min(lowest[band], limit);
            if (heard[band] - noise[band] >= Clear)
            {
                vouched[band] = Math.Max(vouched[band], limit);
            }
        }
    }
}
