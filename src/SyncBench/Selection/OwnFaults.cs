namespace SyncBench.Selection;

/// <summary>The faults that a mic shows without comparison with others, in steps from <see cref="MicTrack.First"/>, end exclusive.</summary>
internal sealed record OwnFaults(
    List<(int First, int End)> Silences, List<(int First, int End)> Dropouts, List<(int First, int End)> Clipping,
    List<(int First, int End)> Hum, List<(int First, int End)> Hiss)
{
    /// <summary>Cut tops come syllable by syllable: nearer than 0.6 s they are one fault.</summary>
    private const int Apart = 60;

    /// <summary>What a fault does to the spectrum reaches this far beyond it.</summary>
    public const int Wake = 15;

    /// <param name="links">Where the link is lost, as <see cref="DropoutDetector"/> has it.</param>
    /// <param name="hiss">As <see cref="HissDetector"/> has it.</param>
    public static OwnFaults Of(
        MicTrack track, (List<(int First, int End)> Silences, List<(int First, int End)> Dropouts) links, List<(int First, int End)> hiss)
    {
        var clipped = new bool[track.Count];
        for (int i = 0; i < clipped.Length; i++)
        {
            clipped[i] = track.ClippedSamples(track.First + i) > 0;
        }

        return new OwnFaults(
            links.Silences, links.Dropouts, FaultSpans.Of(clipped, neighbourhood: 1, share: 0, Apart), HumDetector.Find(track), hiss);
    }

    /// <summary>Steps of hiss, one entry a step of the mic.</summary>
    public bool[] Hissing(int count) => Steps(Hiss, count, margin: 0);

    /// <summary>Steps in which the link is lost, or whose level looks into such a step.</summary>
    public bool[] Lost(int count) => Steps([.. Silences, .. Dropouts], count, margin: 5);

    /// <summary>Steps whose levels a lost link explains.</summary>
    public bool[] LostWithWake(int count) => Steps([.. Silences, .. Dropouts], count, Wake);

    private static bool[] Steps(List<(int First, int End)> spans, int count, int margin)
    {
        var shown = new bool[count];
        FaultSpans.Mark(shown, spans, margin);
        return shown;
    }
}
