namespace SyncBench.Selection;

/// <summary>The faults of one mic in steps of the grid.</summary>
internal sealed class MicFaults
{
    private const int LongestLead = 50;

    /// <summary>What is over sooner is no gust but a bump.</summary>
    private const int ShortestWind = 60;

    private MicFaults(MicTrack track, List<(FaultKind Kind, int First, int End)> spans)
    {
        Spans = spans;
        Faulty = new bool[track.Count];
        foreach ((_, int first, int end) in spans)
        {
            Array.Fill(Faulty, true, first - track.First, end - first);
        }
    }

    /// <summary>In order of kind, then of time.</summary>
    public List<(FaultKind Kind, int First, int End)> Spans { get; }

    /// <summary>Whether the mic has any fault, one entry a step of the mic.</summary>
    public bool[] Faulty { get; }

    /// <param name="wind">Steps that show wind, one entry a step of the mic.</param>
    /// <param name="thumps">Those of them that are too strong to pass even where they are too short for wind.</param>
    /// <param name="rustle">Steps that show rustle; thumps outside wind are added to it.</param>
    public static MicFaults Of(MicTrack track, bool[] wind, bool[] thumps, bool[] rustle)
    {
        var clipped = new bool[track.Count];
        var missing = new bool[track.Count];
        for (int i = 0; i < clipped.Length; i++)
        {
            clipped[i] = track.ClippedSamples(track.First + i) > 0;
            missing[i] = track.MissingShare(track.First + i) > 0;
        }

        IgnoreEnd(missing);
        Array.Reverse(missing);
        IgnoreEnd(missing);
        Array.Reverse(missing);

        List<(int First, int End)> windy =
            [.. FaultSpans.Of(wind, neighbourhood: 81, share: 0.5, apart: 100).Where(s => s.End - s.First >= ShortestWind)];
        foreach ((int first, int end) in windy)
        {
            Array.Clear(thumps, first, end - first);
        }

        bool[] handled = [.. rustle.Zip(thumps, (scrape, thump) => scrape || thump)];

        // Gusts and scrapes come in volleys: a second without one does not make the mic fit to be heard.
        return new MicFaults(track,
        [
            .. Spans(FaultKind.Wind, windy),
            .. Spans(FaultKind.Rustle, FaultSpans.Of(handled, neighbourhood: 31, share: 0.25, apart: 100)),
            .. Spans(FaultKind.Clipping, FaultSpans.Of(clipped, neighbourhood: 1, share: 0, apart: 30)),
            .. Spans(FaultKind.Dropout, FaultSpans.Of(missing, neighbourhood: 1, share: 0, apart: 30)),
        ]);

        IEnumerable<(FaultKind Kind, int First, int End)> Spans(FaultKind kind, List<(int First, int End)> found) =>
            found.Select(span => (kind, track.First + span.First, track.First + span.End));
    }

    /// <summary>Sound that sets in a little after the picture, or ends before it, has not dropped out.</summary>
    private static void IgnoreEnd(bool[] missing)
    {
        int present = Array.IndexOf(missing, false);
        if (present is > 0 and <= LongestLead)
        {
            Array.Clear(missing, 0, present);
        }
    }
}
