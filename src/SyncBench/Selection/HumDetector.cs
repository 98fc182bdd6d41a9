using SyncBench.Signal;

namespace SyncBench.Selection;

/// <summary>Finds hum: the mains' frequency, 50 or 60 Hz, and its harmonics.</summary>
/// <remarks>
/// A voice crosses a harmonic and goes on, hum stays: a line counts where the lowest it falls to within 0.9 s, before or after,
/// stands clear of the lowest that its neighbourhood falls to. Lines over their neighbours are common practice. Hum begins and
/// ends where the faintest of its lines pass half of their amplitude, for a voice hides some of them and not all. Thresholds tuned on made hum.
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

    /// <summary>2 s.</summary>
    private const int Reach = 40;

    private const float MostDb = 6;
    private const float LeastDb = 1;

    /// <summary>Hum itself stands 6 dB above half of its amplitude.</summary>
    private const float LoudestDb = 9;

    private static readonly int[][] Families = [FamilyOf(50), FamilyOf(60)];

    /// <summary>Stretches of hum in steps from <see cref="MicTrack.First"/>, end exclusive.</summary>
    public static List<(int First, int End)> Find(MicTrack track)
    {
        var found = new List<(int First, int End)>();
        foreach (int[] family in Families)
        {
            foreach ((int first, int end) in Steady(track.Lines, family))
            {
                (double start, double stop) = Edges(track.Lines, family, first, end);
                int from = Math.Max(track.First, Grid(track, start)), to = Math.Min(track.End, Grid(track, stop));
                if (to - from >= ShortestSteps)
                {
                    found.Add((from - track.First, to - track.First));
                }
            }
        }

        return FaultSpans.Merged(found);
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

    /// <summary>In steps of the lines and parts of them.</summary>
    private static (double Start, double End) Edges(LineLevels lines, int[] family, int first, int end)
    {
        int[] prominent = [.. family.Select(line => (Line: line, Above: MedianAbove(lines, line, first, end)))
            .OrderByDescending(line => line.Above)
            .Where((line, i) => i < FewestLines || line.Above >= Prominent)
            .Select(line => line.Line)
            .Order()];
        int from = Math.Max(0, first - Reach), to = Math.Min(lines.Steps, end + Reach);
        float[] usual = [.. prominent.Select(line => LowOf(first, end, step => lines.On(step, line)))];
        float[] half = [.. prominent.Select((line, i) => Half(usual[i], LowOf(first, end, step => lines.Beside(step, line))))];
        var there = new float[to - from];
        Span<float> above = stackalloc float[prominent.Length];
        for (int step = from; step < to; step++)
        {
            for (int i = 0; i < above.Length; i++)
            {
                above[i] = (lines.On(step, prominent[i]) - half[i]) / 2;
            }

            // The first of a family is the mains itself, where no voice is.
            float mains = prominent[0] == family[0] ? above[0] : MostDb;
            above.Sort();
            there[step - from] = Evidence(Math.Min(mains, (above[0] + above[1] + above[2]) / 3));
        }

        return (from + Edge(there, ((first + end) / 2) - from, -1), from + Edge(there, ((first + end) / 2) - from, 1));
    }

    /// <summary>
    /// What a step says for hum or against it: much against it where its lines fall away, little for it where they stand, as a voice
    /// lifts them too, and nothing where they stand far above the hum.
    /// </summary>
    /// <param name="aboveHalf">dB by which the lines stand above half of the hum's amplitude.</param>
    private static float Evidence(float aboveHalf) =>
        aboveHalf > LoudestDb ? 0 : Math.Clamp(aboveHalf, -MostDb, LeastDb);

    private static float LowOf(int first, int end, Func<int, byte> level) =>
        Statistics.Quantile<float>([.. Enumerable.Range(first, end - first).Select(step => (float)level(step))], 0.3);

    /// <summary>What a line reads, noise and all, when the hum has half of its amplitude.</summary>
    private static float Half(float on, float beside)
    {
        float noise = MathF.Pow(10, Math.Min(beside, on) / 20), all = MathF.Pow(10, on / 20);
        return 20 * MathF.Log10(noise + ((all - noise) / 4));
    }

    /// <summary>In parts of a step: where the level passes through zero beside the last step of the hum.</summary>
    private static double Edge(float[] there, int inside, int direction)
    {
        int last = FaultSpans.LastOf(there, inside, direction), beyond = last + direction;
        return beyond < 0 || beyond >= there.Length || there[beyond] >= there[last]
            ? last
            : last + (direction * Math.Clamp(there[last] / (there[last] - there[beyond]), 0, 1));
    }

    private static double MedianAbove(LineLevels lines, int line, int first, int end)
    {
        int[] above = [.. Enumerable.Range(first, end - first).Select(step => lines.On(step, line) - lines.Beside(step, line)).Order()];
        return above[above.Length / 2];
    }
}
