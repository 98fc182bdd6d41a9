namespace SyncBench.Selection;

/// <summary>The faults of one mic in steps of the grid.</summary>
internal sealed class MicFaults
{
    /// <summary>A single scrape is hardly heard.</summary>
    private const int ShortestRustle = 15;

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
            FaultKind.Hiss => !FaultSpans.MostlyIn((span.First, span.End), ridden),
            _ => true,
        }),
        .. ridden.Select(stretch => (FaultKind.Pumping, stretch.First, stretch.End)),
    ]);

    /// <param name="alone">What the mic shows by itself.</param>
    /// <param name="thumps">As <see cref="Rumble.Thumps"/> has them.</param>
    /// <param name="nearer">As <see cref="NearerVoice"/> has it.</param>
    /// <param name="others">The mics that it can be compared with.</param>
    public static MicFaults Of(
        MicTrack track, OwnFaults alone, List<(int First, int End)> wind, bool[] thumps, RustleDetector.Handling handling, bool[] nearer,
        Witness[] others)
    {
        bool[] explained = alone.LostWithWake(track.Count);
        FaultSpans.Mark(explained, [.. wind, .. alone.Clipping], OwnFaults.Wake);

        // Hiss that has just set in is not in the noise floor yet. Scrapes come in volleys: a second without one does not make
        // the mic fit to be heard.
        bool[] hissing = new bool[track.Count];
        foreach ((int first, int end) in alone.Hiss)
        {
            FaultSpans.Mark(hissing, [(first, Math.Min(end, first + FloorReach)), (Math.Max(first, end - FloorReach), end)], 0);
        }

        bool[] scrapes = Steps.Of(track.Count, i => !explained[i] && !hissing[i] && handling.Rustle[i] >= RustleDetector.Excess);
        float[] cloth = Steps.Of(
            track.Count, i => explained[i] || hissing[i] ? 0 : RustleDetector.Handling.Evidence(handling.Cloth[i]));
        List<(int First, int End)> rustle = FaultSpans.Merged(
            FaultSpans.Of(scrapes, neighbourhood: 61, share: 0.1, apart: 100)
                .Where(span => span.End - span.First >= ShortestRustle)
                .Select(span => ClothEdges.Exactly(track, cloth, span))
                .Where(span => RustleDetector.IsCloth(cloth, handling.Tilt, span)));
        FaultSpans.Mark(explained, rustle, OwnFaults.Wake);
        List<(int First, int End)> knocks = KnockDetector.Find(track, new KnockEvidence(track, nearer, thumps, others), explained);
        return new MicFaults(track,
        [
            .. Spans(FaultKind.Wind, wind),
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
}
