using System.Collections.Immutable;

namespace SyncBench.Selection;

/// <summary>Finds hum: the mains' frequency, 50 or 60 Hz, and its harmonics.</summary>
/// <remarks>
/// A voice crosses a harmonic and goes on, hum stays: a line counts where the lowest it falls to within 0.9 s, before or after,
/// stands clear of the lowest that its neighbourhood falls to. Lines over their neighbours are common practice. Where it
/// begins and ends is told by <see cref="SteadyHum"/>. Thresholds tuned on made hum.
/// </remarks>
internal static class HumDetector
{
    /// <summary>0.9 s of <see cref="LineLevels"/>: longer than a voice keeps its pitch.</summary>
    private const int Window = 18;

    /// <summary>Half decibels, as levels are coded.</summary>
    private const int Prominent = 12;
    private const int ClearlyProminent = 20;

    /// <summary>A voice at 180 Hz has two of them; at the mains itself there is no voice, so there one with it will do.</summary>
    private const int FewestLines = 3;

    /// <summary>0.6 s and 1.2 s.</summary>
    private const int Apart = 12;
    private const int Shortest = 24;
    private const int ShortestSteps = 120;

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
            found.AddRange(Steady(lines, family).Select(span => new HumStretch(hum.Edge(span, -1), hum.Edge(span, 1))));
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

    private static List<(int First, int End)> Steady(LineLevels lines, int[] family)
    {
        var counts = new int[lines.Steps];
        var strong = new bool[lines.Steps];
        foreach (int line in family)
        {
            float[] lowOn = Running.LowestFrom([.. Steps(lines).Select(step => (float)lines.On(step, line))], Window);
            float[] lowBeside = Running.LowestFrom([.. Steps(lines).Select(step => (float)lines.Beside(step, line))], Window);
            for (int step = 0; step < counts.Length; step++)
            {
                // The window that begins here, and the one that ends here.
                int ending = Math.Max(0, step - Window + 1);
                float above = Math.Max(lowOn[step] - lowBeside[step], lowOn[ending] - lowBeside[ending]);
                counts[step] += above < Prominent ? 0 : line == family[0] ? 2 : 1;
                strong[step] |= above >= ClearlyProminent;
            }
        }

        var spans = new List<(int First, int End)>();
        for (int step = 0; step < counts.Length; step++)
        {
            if (counts[step] < FewestLines || !strong[step])
            {
                continue;
            }

            if (spans.Count > 0 && step - spans[^1].End < Apart)
            {
                spans[^1] = (spans[^1].First, step + 1);
            }
            else
            {
                spans.Add((step, step + 1));
            }
        }

        return [.. spans.Where(span => span.End - span.First >= Shortest)];
    }

    private static IEnumerable<int> Steps(LineLevels lines) => Enumerable.Range(0, lines.Steps);
}
