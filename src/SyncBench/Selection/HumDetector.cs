using System.Collections.Immutable;

namespace SyncBench.Selection;

/// <summary>Finds hum: the mains' frequency, 50 or 60 Hz, and its harmonics.</summary>
/// <remarks>
/// Which windows show it is told by <see cref="HumEvidence"/>, where it begins and ends by <see cref="SteadyHum"/>. Threshold tuned on made
/// hum and on voices without any.
/// </remarks>
internal static class HumDetector
{
    /// <summary>Log-likelihood ratio.</summary>
    private const float Enough = 4.4f;

    /// <summary>0.6 s.</summary>
    private const int Apart = 12;

    /// <summary>1.4 s of the grid: a voice may hold a note for little less.</summary>
    private const int ShortestSteps = 140;

    private static readonly int[][] Families = [FamilyOf(50), FamilyOf(60)];

    /// <summary>Stretches of hum in steps from <see cref="MicTrack.First"/>, end exclusive.</summary>
    public static List<(int First, int End)> Find(MicTrack track)
    {
        var found = new List<(int First, int End)>();
        foreach ((double first, double end) in track.Hum)
        {
            int from = Math.Max(track.First, Grid(track, first));
            int to = Math.Min(track.End, Grid(track, end));
            if (to - from >= ShortestSteps)
            {
                found.Add((from - track.First, to - track.First));
            }
        }

        return FaultSpans.Merged(found);
    }

    /// <summary>Each hum of a channel, once for the clip: a recorder that rolls through is part of every take. Those of the two mains may overlap.</summary>
    internal static ImmutableArray<HumStretch> Of(LineLevels lines)
    {
        var found = ImmutableArray.CreateBuilder<HumStretch>();
        foreach (int[] family in Families)
        {
            var hum = new SteadyHum(lines, family);
            found.AddRange(Shown(HumEvidence.Of(lines, family)).Select(span => new HumStretch(hum.Edge(span, -1), hum.Edge(span, 1))));
        }

        return found.ToImmutable();
    }

    private static int[] FamilyOf(int mains) =>
        [.. Enumerable.Range(0, LineLevels.Hz.Length).Where(line => LineLevels.Hz[line] % mains == 0)];

    private static int Grid(MicTrack track, double lineStep)
    {
        int whole = (int)Math.Floor(lineStep);
        double share = lineStep - whole;
        return (int)Math.Round((track.StepOfLine(whole) * (1 - share)) + (track.StepOfLine(whole + 1) * share));
    }

    /// <summary>Middles of windows that show it, in stretches.</summary>
    private static List<(int First, int End)> Shown(float[] evidence) =>
        FaultSpans.Runs(Steps.Of(evidence.Length, step => evidence[step] >= Enough), Apart);
}
