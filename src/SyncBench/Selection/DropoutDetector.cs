using SyncBench.Signal;

namespace SyncBench.Selection;

/// <summary>Finds where the link of a mic is lost: digital silence, mutes, and holes in which even its own noise is gone.</summary>
/// <remarks>
/// A link that is lost mutes or holds its last value (<see cref="MicMeasure.MissingShare"/>), or its squelch lets nothing through
/// but the receiver's own faint noise: then the whole spectrum falls, within a few hundredths of a second, below what the mic
/// reads when nobody speaks. No sound in a room ends like that. Common practice; thresholds tuned on made dropouts.
/// </remarks>
internal static class DropoutDetector
{
    /// <summary>Sound that sets in within 0.5 s of the picture, or ends before it, has not dropped out.</summary>
    private const int LongestLead = 50;

    /// <summary>A second.</summary>
    private const int ShortestSilence = 100;

    private const float QuietShare = 0.1f;
    private const float BelowQuietDb = 9;
    private const float FallDb = 12;

    /// <summary>The 32 ms window of a level reaches over an edge.</summary>
    private const int EdgeSteps = 5;

    /// <summary>Mutes nearer than 0.5 s are one fault.</summary>
    private const int Apart = 50;

    /// <summary>In steps from <see cref="MicTrack.First"/>, end exclusive.</summary>
    public static (List<(int First, int End)> Silences, List<(int First, int End)> Dropouts) Find(MicTrack track)
    {
        var missing = new bool[track.Count];
        for (int i = 0; i < missing.Length; i++)
        {
            missing[i] = track.MissingShare(track.First + i) > 0;
        }

        IgnoreEnd(missing);
        Array.Reverse(missing);
        IgnoreEnd(missing);
        Array.Reverse(missing);

        List<(int First, int End)> silences = [.. FaultSpans.Runs(missing).Where(run => run.End - run.First >= ShortestSilence)];
        foreach ((int first, int end) in silences)
        {
            Array.Clear(missing, first, end - first);
        }

        FaultSpans.Mark(missing, Holes(track, silences), margin: 0);
        return (silences, FaultSpans.Of(missing, neighbourhood: 1, share: 0, Apart));
    }

    private static IEnumerable<(int First, int End)> Holes(MicTrack track, List<(int First, int End)> silences)
    {
        float[] level = Steps.Of(track.Count, i => SpeechBands.Db(SpeechBands.Sum(track.Levels(track.First + i))));
        var sounding = new bool[level.Length];
        Array.Fill(sounding, true);
        foreach ((int first, int end) in silences)
        {
            int from = Math.Max(0, first - EdgeSteps);
            Array.Fill(sounding, false, from, Math.Min(level.Length, end + EdgeSteps) - from);
        }

        if (QuietDb(track, level, sounding) is not { } quiet)
        {
            yield break;
        }

        foreach ((int first, int end) in FaultSpans.Runs(Steps.Of(level.Length, i => sounding[i] && level[i] < quiet)))
        {
            float inside = Statistics.Median(level.AsSpan(first, end - first).ToArray());
            if (end - first >= EdgeSteps
                && (first < EdgeSteps || level[first - EdgeSteps] > inside + FallDb)
                && (end + EdgeSteps > level.Length || level[end + EdgeSteps - 1] > inside + FallDb))
            {
                yield return (first, end);
            }
        }
    }

    /// <summary>Well below what the mic reads when nobody speaks; null where it never sounds.</summary>
    private static float? QuietDb(MicTrack track, float[] level, bool[] sounding)
    {
        float[] smooth = Running.Mean(level.Length, i => level[i], EdgeSteps);
        int heard = 0;
        for (int i = 0; i < smooth.Length; i++)
        {
            if (sounding[i] && track.MissingShare(track.First + i) == 0)
            {
                smooth[heard++] = smooth[i];
            }
        }

        return heard == 0 ? null : Statistics.Quantile(smooth.AsSpan(0, heard), QuietShare) - BelowQuietDb;
    }

    private static void IgnoreEnd(bool[] missing)
    {
        int present = Array.IndexOf(missing, false);
        if (present is > 0 and <= LongestLead)
        {
            Array.Clear(missing, 0, present);
        }
    }
}
