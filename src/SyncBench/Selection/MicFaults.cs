namespace SyncBench.Selection;

/// <summary>The faults of one mic in steps of the grid.</summary>
internal sealed class MicFaults
{
    /// <summary>What is over sooner is no gust but a bump.</summary>
    private const int ShortestWind = 60;

    /// <summary>A single scrape is hardly heard.</summary>
    private const int ShortestRustle = 25;

    /// <summary>What another fault does to the spectrum reaches this far beyond it.</summary>
    private const int Wake = 15;

    /// <summary>A noise floor knows of hiss this long after it sets in and before it stops.</summary>
    private const int FloorReach = 240;

    private MicFaults(MicTrack track, List<(FaultKind Kind, int First, int End)> spans)
    {
        Spans = spans;
        Faulty = new bool[track.Count];
        foreach ((_, int first, int end) in spans.Where(span => span.Kind.MakesUnfit()))
        {
            Array.Fill(Faulty, true, first - track.First, end - first);
        }
    }

    /// <summary>In order of kind, then of time.</summary>
    public List<(FaultKind Kind, int First, int End)> Spans { get; }

    /// <summary>Whether the mic has a fault that makes it unfit to be heard, one entry a step of the mic.</summary>
    public bool[] Faulty { get; }

    /// <summary>With the stretches in which an automatic gain rides the mic, and without the wind and hiss there that was only noise it brought up.</summary>
    /// <param name="ridden">In steps of the grid.</param>
    public MicFaults Ridden(MicTrack track, List<(int First, int End)> ridden, Predicate<(int First, int End)> isOnlyGain) => new(track,
    [
        .. Spans.Where(span => span.Kind switch
        {
            FaultKind.Wind => !ridden.Exists(stretch => stretch.First < span.End && stretch.End > span.First) || !isOnlyGain((span.First, span.End)),
            FaultKind.Hiss => !MostlyIn((span.First, span.End), ridden),
            _ => true,
        }),
        .. ridden.Select(stretch => (FaultKind.Pumping, stretch.First, stretch.End)),
    ]);

    /// <param name="alone">What the mic shows by itself.</param>
    /// <param name="rumble">Of the mic.</param>
    /// <param name="wind">Steps that show wind, one entry a step of the mic.</param>
    /// <param name="others">The mics that it can be compared with.</param>
    public static MicFaults Of(
        MicTrack track, OwnFaults alone, WindDetector.Rumble rumble, bool[] wind, RustleDetector.Handling handling,
        (MicTrack Track, MicMatch Match)[] others)
    {
        var explained = new bool[track.Count];
        FaultSpans.Mark(explained, [.. alone.Silences, .. alone.Dropouts], Wake);
        bool[] windy = [.. wind.Select((blows, i) => blows && !explained[i])];
        List<(int First, int End)> gusts =
        [
            .. FaultSpans.Of(windy, neighbourhood: 81, share: 0.5, apart: 100)
                .Where(span => span.End - span.First >= ShortestWind && !MostlyIn(span, alone.Hum))
                .Select(span => WindDetector.Exactly(rumble, span))
                .Where(span => span.End - span.First >= ShortestWind),
        ];
        FaultSpans.Mark(explained, [.. gusts, .. alone.Clipping], Wake);

        // Hiss that has just set in is not in the noise floor yet. Scrapes come in volleys: a second without one does not make
        // the mic fit to be heard.
        bool[] hissing = new bool[track.Count];
        foreach ((int first, int end) in alone.Hiss)
        {
            FaultSpans.Mark(hissing, [(first, Math.Min(end, first + FloorReach)), (Math.Max(first, end - FloorReach), end)], 0);
        }

        byte[] scrapes = [.. handling.Rustle.Select((excess, i) => explained[i] || hissing[i] ? (byte)0 : excess)];
        float[] cloth = [.. handling.Cloth.Select((evidence, i) => explained[i] || hissing[i] ? 0 : evidence)];
        List<(int First, int End)> rustle = FaultSpans.Merged(
            FaultSpans.Of([.. scrapes.Select(excess => excess >= RustleDetector.Excess)], neighbourhood: 61, share: 0.1, apart: 100)
                .Where(span => span.End - span.First >= ShortestRustle)
                .Select(span => RustleDetector.Exactly(cloth, span))
                .Where(span => RustleDetector.IsCloth(cloth, handling.Tilt, span)));
        byte[] struck = [.. handling.Struck];
        bool[] thumps = WindDetector.Thumps(rumble, wind);
        for (int i = 0; i < struck.Length; i++)
        {
            struck[i] = thumps[i] ? KnockDetector.Certain : struck[i];
        }

        FaultSpans.Mark(explained, rustle, Wake);
        List<(int First, int End)> knocks = KnockDetector.Find(track, struck, explained, others);
        return new MicFaults(track,
        [
            .. Spans(FaultKind.Wind, gusts),
            .. Spans(FaultKind.Rustle, rustle),
            .. Spans(FaultKind.Clipping, alone.Clipping),
            .. Spans(FaultKind.Dropout, alone.Dropouts),
            .. Spans(FaultKind.Silence, alone.Silences),
            .. Spans(FaultKind.Hum, alone.Hum),
            .. Spans(FaultKind.Hiss, alone.Hiss),
            .. Spans(FaultKind.Knock, knocks),
        ]);

        IEnumerable<(FaultKind Kind, int First, int End)> Spans(FaultKind kind, List<(int First, int End)> found) =>
            found.Select(span => (kind, track.First + span.First, track.First + span.End));
    }

    private static bool MostlyIn((int First, int End) span, List<(int First, int End)> others) =>
        others.Sum(other => Math.Max(0, Math.Min(span.End, other.End) - Math.Max(span.First, other.First))) * 2 >= span.End - span.First;
}
