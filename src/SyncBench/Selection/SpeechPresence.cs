namespace SyncBench.Selection;

/// <summary>How likely it is, step by step, that somebody speaks.</summary>
/// <remarks>
/// The importance-weighted excess of the bands over their noise floor, through a logistic curve, averaged over 50 ms
/// (shorter than a syllable, longer than a click). The middle of the curve was set so that steady noise is taken for
/// speech in under one step of a hundred; speech is then found in nearly all loud steps at 15 dB and in two of three at
/// 5 dB (SpeechPresenceTests).
/// </remarks>
internal static class SpeechPresence
{
    private const float MiddleDb = 2.2f;
    private const float SlopeDb = 0.4f;
    private const int HalfWidth = 2;

    private const float Speaking = 0.6f;

    /// <summary>100 Hz.</summary>
    private const int LowestVoice = 1;

    /// <summary>−20 dB.</summary>
    private const float AudibleShare = 0.01f;

    /// <summary>6 dB.</summary>
    private const float ClearOfNoise = 4;

    /// <summary>3 dB, where another mic is clear of its noise: it is nearer to who asks.</summary>
    private const float ClearWithAnother = 2;

    /// <summary>10·lg of excess, coded in half decibels above the floor, floored at 0 and capped at 20 dB.</summary>
    private const int CapHalfDb = 40;

    /// <summary>Probability of speech at each step of a mic, entry 0 being <see cref="MicTrack.First"/>.</summary>
    public static float[] Of(MicTrack track) => Of(track, track.Noise);

    private static float[] Of(MicTrack track, Func<int, ReadOnlySpan<byte>> noise)
    {
        return Smoothed(track.Count, i =>
        {
            int step = track.First + i;
            return 1 / (1 + MathF.Exp((MiddleDb - Excess(track.Levels(step), noise(step))) / SlopeDb));
        });
    }

    /// <summary>
    /// Probability of speech in the take: at each step that of its trusted mic, for a noisy mic hears speech where there
    /// is none.
    /// </summary>
    /// <param name="trusted">Index of the mic to believe at each step, −1 where none rolls.</param>
    public static float[] Joint(MicTrack[] tracks, float[][] presence, int[] trusted)
    {
        var joint = new float[trusted.Length];
        for (int step = 0; step < trusted.Length; step++)
        {
            int mic = trusted[step];
            joint[step] = mic < 0 ? 0 : presence[mic][step - tracks[mic].First];
        }

        return joint;
    }

    /// <summary>The same above noise that stays: dense speech is heard to its end, and behind a dropout, but so is noise of a few seconds.</summary>
    public static float[] JointAboveSteadyNoise(MicTrack[] tracks, int[] trusted)
    {
        var joint = new float[trusted.Length];
        for (int mic = 0; mic < tracks.Length; mic++)
        {
            MicTrack track = tracks[mic];
            float[] presence = Of(track, track.SteadyNoise); // of one mic at a time: megabytes an hour
            for (int i = 0; i < presence.Length; i++)
            {
                joint[track.First + i] = trusted[track.First + i] == mic ? presence[i] : joint[track.First + i];
            }
        }

        return joint;
    }

    /// <summary>
    /// <see cref="Joint"/>, and 1 where the trusted mic hears anything else within 20 dB of its mean speech, such as the hum of an M or
    /// a B: too low to count for understanding, but a cut through it is heard.
    /// </summary>
    public static float[] Audible(MicTrack[] tracks, float[] joint, int[] trusted)
    {
        var audible = (float[])joint.Clone();
        bool[] clear = ClearSomewhere(tracks, joint.Length);
        for (int mic = 0; mic < tracks.Length; mic++)
        {
            MicTrack track = tracks[mic];
            float heard = AudibleShare * MeanOfSpeech(track, joint, step => trusted[step] == mic);
            for (int step = track.First; step < track.End; step++)
            {
                if (trusted[step] == mic)
                {
                    float here = Heard(track, step);
                    float least = clear[step] ? ClearWithAnother : ClearOfNoise;
                    audible[step] = here >= heard && here >= least * SteadyNoise(track, step) ? 1 : joint[step];
                }
            }
        }

        return audible;
    }

    /// <summary>Whether any mic hears something above its noise, one entry a step of the grid.</summary>
    private static bool[] ClearSomewhere(MicTrack[] tracks, int steps)
    {
        var clear = new bool[steps];
        foreach (MicTrack track in tracks)
        {
            for (int step = track.First; step < track.End; step++)
            {
                clear[step] |= Heard(track, step) >= ClearOfNoise * SteadyNoise(track, step);
            }
        }

        return clear;
    }

    private static float Heard(MicTrack track, int step) => SpeechBands.Sum(track.Levels(step)[LowestVoice..]);

    private static float SteadyNoise(MicTrack track, int step) => SpeechBands.Sum(track.SteadyNoise(step)[LowestVoice..]);

    /// <summary>Power; infinite where nobody speaks.</summary>
    private static float MeanOfSpeech(MicTrack track, float[] joint, Predicate<int> counts)
    {
        double sum = 0;
        int spoken = 0;
        for (int step = track.First; step < track.End; step++)
        {
            if (joint[step] > Speaking && counts(step))
            {
                sum += Heard(track, step);
                spoken++;
            }
        }

        return spoken == 0 ? float.PositiveInfinity : (float)(sum / spoken);
    }

    private static float Excess(ReadOnlySpan<byte> levels, ReadOnlySpan<byte> noise)
    {
        float sum = 0;
        for (int band = SpeechBands.First; band < levels.Length; band++)
        {
            sum += SpeechBands.Importance[band] * Math.Clamp(levels[band] - noise[band], 0, CapHalfDb);
        }

        return sum / 2;
    }

    /// <param name="raw">Asked once, in order.</param>
    private static float[] Smoothed(int count, Func<int, float> raw)
    {
        var smooth = new float[count];
        var window = new float[(2 * HalfWidth) + 1];
        int known = 0;
        for (int i = 0; i < count; i++)
        {
            int from = Math.Max(0, i - HalfWidth), to = Math.Min(count - 1, i + HalfWidth);
            for (; known <= to; known++)
            {
                window[known % window.Length] = raw(known);
            }

            float sum = 0;
            for (int near = from; near <= to; near++)
            {
                sum += window[near % window.Length];
            }

            smooth[i] = sum / (to - from + 1);
        }

        return smooth;
    }
}
