using SyncBench.Signal;

namespace SyncBench.Selection;

/// <summary>What a mic hears under 78 Hz; made once, used for the mic and as witness for the others.</summary>
/// <remarks>
/// A deep voice is heard there, too: from 90 Hz on it spills over, as the window of the levels is short. Wind has its power there itself and
/// 14 dB less in the band above.
/// </remarks>
internal sealed class Rumble
{
    /// <summary>±20 ms.</summary>
    private const int HalfWidth = 2;

    /// <summary>±150 ms: longer than the gap between syllables, shorter than a gust.</summary>
    private const int Syllable = 15;

    /// <summary>Levels averaged over 31 steps change little in 10.</summary>
    private const int Stride = 10;

    private const double UsualShare = 0.2;

    /// <summary>What is loud in the band above is a voice, and spills as much as in most of these steps at least.</summary>
    private const double LoudShare = 0.8;
    private const double SpillShare = 0.4;
    private const float RumbleOverUsual = 1.5f;

    /// <summary>What is loud above may be wind, too.</summary>
    private const float MostSpill = 1;

    /// <summary>Traffic that comes by, without the words of a second.</summary>
    private const int Passing = 10;
    private const double PassingShare = 0.3;

    // 25 dB; a burst of breath on a P stays below these: it is part of speech.
    private const float ThumpOverUsual = 316;
    private const float ThumpAboveSpeechDb = 4;
    private const int Second = 100;

    private const int FirstSpeech = 5; // 250 Hz
    private const int EndSpeech = 17; // up to 3.5 kHz

    private readonly float[] _raised;

    private Rumble(MicTrack track, float[] smooth)
    {
        Track = track;
        Usual = Quantile(Thinned(smooth), UsualShare);
        _raised = Raised(Thinned(smooth), Usual);
        float[] smoothAboveSpeechDb = Running.Mean(track.Count, AboveSpeechDb, Syllable);
        UsualAboveSpeechDb = Quantile(Thinned(smoothAboveSpeechDb), 0.5);
        Spill = SpillOf(track, Usual);
    }

    public MicTrack Track { get; }

    /// <summary>Power.</summary>
    public float Usual { get; }

    /// <summary>Of the power in the band above 78 Hz, what a voice brings here.</summary>
    public float Spill { get; }

    /// <summary>Mean of decibels, not of power: the gaps between syllables count too, and there wind shows.</summary>
    public float UsualAboveSpeechDb { get; }

    public static Rumble Of(MicTrack track) =>
        new(track, Running.Mean(track.Count, i => SpeechBands.Power(track.Levels(track.First + i)[0]), Syllable));

    /// <summary>Steps so strong that a moment of them is a thump on the mic or its cable, unless another mic hears the same.</summary>
    public bool[] Thumps(IReadOnlyList<Rumble> others)
    {
        float[] smooth = Running.Mean(Track.Count, Power, Syllable), speechDb = Running.Mean(Track.Count, SpeechDb, Syllable);
        bool[] thumps = Steps.Of(Track.Count, i => smooth[i] >= ThumpOverUsual * Usual && SpeechBands.Db(smooth[i]) - speechDb[i] >= ThumpAboveSpeechDb);
        foreach ((int first, int end) in FaultSpans.Runs(thumps).Where(run => SharedRumble.IsHeard(this, others, About(run))).ToArray())
        {
            thumps.AsSpan(first, end - first).Clear();
        }

        return thumps;
    }

    /// <summary>Power at a step of the mic.</summary>
    public float Power(int step) => SpeechBands.Power(Track.Levels(Track.First + step)[0]);

    /// <summary>What is spilt by a voice.</summary>
    public float Spilt(int step) => Spill * SpeechBands.Power(Track.Levels(Track.First + step)[1]);

    public float AboveSpeechDb(int step) => SpeechBands.Db(Power(step)) - SpeechDb(step);

    /// <summary>Above the next band.</summary>
    public float AboveNextDb(int step)
    {
        ReadOnlySpan<byte> levels = Track.Levels(Track.First + step);
        return (levels[0] - levels[1]) / 2f;
    }

    /// <summary>How many times its usual the rumble is about a step of the grid; null where the mic does not roll.</summary>
    public float? RaisedAt(int step) => Track.Rolls(step) ? _raised[Math.Min(_raised.Length - 1, (step - Track.First) / Stride)] : null;

    /// <summary>With what is beside it: over the moment of a thump anything may fluctuate alike.</summary>
    private (int First, int End) About((int First, int End) run) => (Math.Max(0, run.First - Second), Math.Min(Track.Count, run.End + Second));

    private float SpeechDb(int step) => SpeechBands.Db(SpeechBands.Sum(Track.Levels(Track.First + step)[FirstSpeech..EndSpeech]));

    private static float SpillOf(MicTrack track, float usual)
    {
        float[] deep = Band(track, 0), above = Band(track, 1);
        float loud = Quantile(Thinned(above), LoudShare);
        float[] spilt =
        [
            .. Enumerable.Range(0, above.Length).Where(i => above[i] > loud)
                .Select(i => Math.Max(0, deep[i] - (RumbleOverUsual * usual)) / above[i]),
        ];
        return Math.Min(MostSpill, Quantile(spilt, SpillShare));
    }

    private static float[] Band(MicTrack track, int band) =>
        Running.Mean(track.Count, i => SpeechBands.Power(track.Levels(track.First + i)[band]), HalfWidth);

    private static float[] Raised(float[] smooth, float usual) =>
    [
        .. Enumerable.Range(0, smooth.Length).Select(i =>
            Quantile(smooth[Math.Max(0, i - Passing)..Math.Min(smooth.Length, i + Passing + 1)], PassingShare) / Math.Max(usual, float.Epsilon)),
    ];

    private static float[] Thinned(float[] values) => [.. values.Where((_, i) => i % Stride == 0)];

    private static float Quantile(float[] values, double share) => values.Length == 0 ? 0 : Statistics.Quantile<float>(values, share);
}
