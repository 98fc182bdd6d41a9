namespace SyncBench.Selection;

/// <summary>The faults of one mic in steps of the grid.</summary>
internal sealed class MicFaults
{
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
    /// <param name="rustle">Steps that show rustle.</param>
    public static MicFaults Of(MicTrack track, bool[] wind, bool[] rustle)
    {
        var clipped = new bool[track.Count];
        var missing = new bool[track.Count];
        for (int i = 0; i < clipped.Length; i++)
        {
            clipped[i] = track.ClippedSamples(track.First + i) > 0;
            missing[i] = track.MissingShare(track.First + i) > 0;
        }

        // Gusts and scrapes come in volleys: a second without one does not make the mic fit to be heard.
        return new MicFaults(track,
        [
            .. Spans(FaultKind.Wind, FaultSpans.Of(wind, neighbourhood: 81, share: 0.5, apart: 100)),
            .. Spans(FaultKind.Rustle, FaultSpans.Of(rustle, neighbourhood: 31, share: 0.25, apart: 100)),
            .. Spans(FaultKind.Clipping, FaultSpans.Of(clipped, neighbourhood: 1, share: 0, apart: 30)),
            .. Spans(FaultKind.Dropout, FaultSpans.Of(missing, neighbourhood: 1, share: 0, apart: 30)),
        ]);

        IEnumerable<(FaultKind Kind, int First, int End)> Spans(FaultKind kind, List<(int First, int End)> found) =>
            found.Select(span => (kind, track.First + span.First, track.First + span.End));
    }
}
