namespace SyncBench.Selection;

/// <summary>Finds where wind blows on one mic.</summary>
/// <remarks>
/// Wind is turbulence at the capsule: most of its power lies under about 100 Hz, and it blows on, between the words and through them, where
/// a knock is over at once. How much likelier a step is with wind is told by its power under 78 Hz against that of rumble and of what a voice
/// spills there; the likeliest course counts. What stands out of the speech too little, or is heard alike by another mic, is no wind:
/// low-frequency share and missing coherence are common practice; here the fluctuations of level stand for coherence. The
/// weights are a logistic regression over all such stretches of talks for tuning.
/// </remarks>
internal static class WindDetector
{
    /// <summary>±20 ms.</summary>
    private const int HalfWidth = 2;

    /// <summary>Rumble scatters by so much about its usual, and wind that is looked for is so many times it.</summary>
    private const float RumbleOverUsual = 3;
    private const float WindOverUsual = 25;
    private const float LeastOverRumble = 3;

    /// <summary>A single step says little: it may be a knock.</summary>
    private const float MostOfStep = 1;
    private const double PriceOfChange = 25;

    /// <summary>What is over sooner is no gust but a bump.</summary>
    private const int Shortest = 60;

    private const float PerDbAboveSpeech = 0.23f;
    private const float PerDbAboveUsual = 0.33f;
    private const float Rare = -1.3f;

    /// <summary>Wind has 14 dB less in the band above, and a voice lifts that no further than wind lifts this.</summary>
    private const float LeastAboveNextDb = -1;

    /// <param name="alone">What the mic shows by itself: neither a lost link nor hum is wind.</param>
    public static List<(int First, int End)> Find(Rumble mic, IReadOnlyList<Rumble> others, OwnFaults alone) => FaultSpans.Merged(
        FaultSpans.Runs(LikeliestCourse.Of(mic.Track.Count, Odds(mic, others, alone.LostWithWake(mic.Track.Count)), PriceOfChange))
            .Where(span => span.End - span.First >= Shortest && !FaultSpans.MostlyIn(span, alone.Hum) && IsWind(mic, others, span))
            .Select(span => GustEdges.Exactly(mic, span))
            .Where(span => span.End - span.First >= Shortest));

    private static Func<int, double> Odds(Rumble mic, IReadOnlyList<Rumble> others, bool[] lost)
    {
        float[] deep = Running.Mean(lost.Length, mic.Power, HalfWidth), spilt = Running.Mean(lost.Length, mic.Spilt, HalfWidth);
        return i =>
        {
            float rumble = (mic.Usual * RumbleOverUsual * SharedRumble.RaisedForAll(others, mic.Track.First + i)) + spilt[i];
            float wind = Math.Max(mic.Usual * WindOverUsual, rumble * LeastOverRumble);
            return lost[i] ? -MostOfStep : Math.Min(MostOfStep, GustEdges.Likelier(deep[i], rumble, wind));
        };
    }

    private static bool IsWind(Rumble mic, IReadOnlyList<Rumble> others, (int First, int End) span)
    {
        float aboveSpeechDb = Enumerable.Range(span.First, span.End - span.First).Average(mic.AboveSpeechDb);
        float aboveUsualDb = aboveSpeechDb - mic.UsualAboveSpeechDb;
        return (PerDbAboveSpeech * aboveSpeechDb) + (PerDbAboveUsual * aboveUsualDb) + Rare > 0
            && Enumerable.Range(span.First, span.End - span.First).Average(mic.AboveNextDb) >= LeastAboveNextDb
            && !SharedRumble.IsHeard(mic, others, span);
    }
}
