namespace SyncBench.Selection;

/// <summary>Finds where that one of two talkers speaks whom a mic hears louder, against one of the others, than the other talker.</summary>
internal static class NearerVoice
{
    /// <summary>A voice's hisses and what is left of its hum belong to the vowels this near, in steps.</summary>
    private const int Reach = 45;

    /// <summary>Steps that it lasts at least; a knock on the mic is over sooner.</summary>
    private const int Vowel = 8;

    /// <summary>Steps of these in which it does not fall: echo, of which all mics hear as much, does nothing else.</summary>
    private const int Direct = 3;

    /// <summary>5 dB, coded.</summary>
    private const int Clear = 10;

    /// <returns>One entry a step of the mic.</returns>
    public static bool[] Of(MicTrack mic, (MicTrack Track, MicMatch Match)[] others)
    {
        var nearer = new bool[mic.Count];
        foreach ((MicTrack other, MicMatch match) in others)
        {
            if (match.HearsTwo)
            {
                Mark(nearer, mic, other, match);
            }
        }

        return nearer;
    }

    private static void Mark(bool[] nearer, MicTrack mic, MicTrack other, MicMatch match)
    {
        float halfDb = (SpeechBands.Mid<float>(match.LeastHalfDb) + SpeechBands.Mid<float>(match.MostHalfDb)) / 2;
        int until = 0, vowel = 0, direct = 0;
        for (int step = Math.Max(mic.First, other.First); step < Math.Min(mic.End, other.End); step++)
        {
            float level = SpeechBands.Mid(mic.Levels(step)), there = SpeechBands.Mid(other.Levels(step));
            bool isNear = level - SpeechBands.Mid(mic.Noise(step)) >= Clear && level - there >= halfDb;
            vowel = isNear ? vowel + 1 : 0;
            direct = !isNear ? 0 : HasFallen(mic, step, level) || HasFallen(other, step, there) ? direct : direct + 1;
            if (vowel >= Vowel && direct >= Direct)
            {
                int at = step - mic.First, from = Math.Max(until, at - vowel + 1 - Reach);
                until = Math.Min(mic.Count, at + Reach + 1);
                Array.Fill(nearer, true, from, until - from);
            }
        }
    }

    /// <summary>As <see cref="MicMatch"/> leaves out what may be an echo, but by the middle bands together.</summary>
    private static bool HasFallen(MicTrack track, int step, float level)
    {
        for (int before = Math.Max(track.First, step - MicMatch.Before); before < step; before++)
        {
            if (SpeechBands.Mid(track.Levels(before)) - level > MicMatch.Fallen)
            {
                return true;
            }
        }

        return false;
    }
}
