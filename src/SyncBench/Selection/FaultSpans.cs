namespace SyncBench.Selection;

/// <summary>Gathers single steps that show a fault into stretches that somebody would call by one name.</summary>
internal static class FaultSpans
{
    private const int Shortest = 20;

    /// <summary>
    /// Stretches of at least 0.2 s in steps, end exclusive. They begin and end at a step that shows the fault, unless
    /// widened to 0.2 s.
    /// </summary>
    /// <param name="neighbourhood">A step counts where enough of this many steps around it show the fault too.</param>
    /// <param name="share">What is enough, 0 to 1; 0 where one step alone is a fault.</param>
    /// <param name="apart">Stretches nearer than this many steps are one.</param>
    public static List<(int First, int End)> Of(bool[] shown, int neighbourhood, double share, int apart)
    {
        var spans = new List<(int First, int End)>();
        int half = neighbourhood / 2, near = 0;
        for (int i = 0; i < Math.Min(half, shown.Length); i++)
        {
            near += shown[i] ? 1 : 0;
        }

        for (int i = 0; i < shown.Length; i++)
        {
            near += i + half < shown.Length && shown[i + half] ? 1 : 0;
            near -= i - half - 1 >= 0 && shown[i - half - 1] ? 1 : 0;
            if (!shown[i] || near < share * neighbourhood)
            {
                continue;
            }

            if (spans.Count > 0 && i - spans[^1].End < apart)
            {
                spans[^1] = (spans[^1].First, i + 1);
            }
            else
            {
                spans.Add((i, i + 1));
            }
        }

        return [.. spans.Select(span => Widened(span, shown.Length))];
    }

    /// <summary>Every unbroken stretch of steps that show something.</summary>
    public static IEnumerable<(int First, int End)> Runs(bool[] shown)
    {
        for (int first = Array.IndexOf(shown, true); first >= 0;)
        {
            int end = Array.IndexOf(shown, false, first);
            end = end < 0 ? shown.Length : end;
            yield return (first, end);
            first = end < shown.Length ? Array.IndexOf(shown, true, end) : -1;
        }
    }

    /// <summary>The same, of which those nearer than so many steps are one.</summary>
    public static List<(int First, int End)> Runs(bool[] shown, int apart)
    {
        var runs = new List<(int First, int End)>();
        foreach ((int first, int end) in Runs(shown))
        {
            if (runs.Count > 0 && first - runs[^1].End < apart)
            {
                runs[^1] = (runs[^1].First, end);
            }
            else
            {
                runs.Add((first, end));
            }
        }

        return runs;
    }

    /// <summary>Sets the steps of stretches, and so many before and after each.</summary>
    public static void Mark(bool[] steps, IEnumerable<(int First, int End)> spans, int margin)
    {
        foreach ((int first, int end) in spans)
        {
            int from = Math.Max(0, first - margin);
            Array.Fill(steps, true, from, Math.Min(steps.Length, end + margin) - from);
        }
    }

    /// <summary>
    /// Where a fault ends, seen from inside: the evidence for it (positive while it lasts, negative outside) is summed up from
    /// there on, and where the sum is highest it ends, whatever single steps say (the most likely point of change; E. S. Page,
    /// Biometrika 41, 1954, from memory).
    /// </summary>
    /// <param name="evidence">Of a step; asked only as far as the fault may reach.</param>
    /// <param name="length">Steps of the mic.</param>
    /// <param name="inside">A step of the fault.</param>
    /// <param name="direction">1 for its end, −1 for its beginning.</param>
    /// <param name="settled">By so much the sum has fallen again when it is clear that what may follow is another fault.</param>
    /// <returns>The last step of the fault in that direction.</returns>
    public static int LastOf(Func<int, float> evidence, int length, int inside, int direction, float settled = float.PositiveInfinity)
    {
        double highest = 0;
        int last = inside, at = inside;
        foreach (double sum in Sums(evidence, length, inside, direction, settled))
        {
            (highest, last) = sum > highest ? (sum, at) : (highest, last);
            at += direction;
        }

        return last;
    }

    /// <summary>
    /// The same where much of the evidence says little: not the likeliest step, which is the innermost of those that are nearly as
    /// likely, but the one that the true end lies before as likely as behind it (the median of its distribution, which is off by least
    /// on average).
    /// </summary>
    /// <param name="evidence">Of a step: the logarithm of how much likelier it is with the fault than without.</param>
    public static int HalfwayLastOf(Func<int, float> evidence, int length, int inside, int direction, float settled)
    {
        double[] sums = [.. Sums(evidence, length, inside, direction, settled)];
        double highest = sums.Max();
        double half = sums.Sum(Likelihood) / 2;
        int last = 0;
        for (double passed = Likelihood(sums[0]); passed < half; passed += Likelihood(sums[last]))
        {
            last++;
        }

        return inside + (last * direction);

        double Likelihood(double logarithm) => Math.Exp(logarithm - highest);
    }

    /// <summary>Of the evidence from a step inside on, until it has fallen by so much that it is settled.</summary>
    private static IEnumerable<double> Sums(Func<int, float> evidence, int length, int inside, int direction, float settled)
    {
        double sum = 0, highest = 0;
        for (int i = inside; i >= 0 && i < length && sum > highest - settled; i += direction)
        {
            sum += evidence(i);
            highest = Math.Max(highest, sum);
            yield return sum;
        }
    }

    /// <summary>A stretch of at least 0.2 s about the same middle.</summary>
    /// <param name="length">Steps of the mic.</param>
    public static (int First, int End) Widened((int First, int End) span, int length)
    {
        int missing = Shortest - (span.End - span.First);
        if (missing <= 0)
        {
            return span;
        }

        int first = Math.Clamp(span.First - (missing / 2), 0, Math.Max(0, length - Shortest));
        return (first, Math.Min(length, first + Shortest));
    }

    /// <summary>Whether half of a stretch or more lies in others.</summary>
    public static bool MostlyIn((int First, int End) span, List<(int First, int End)> others) =>
        others.Sum(other => Math.Max(0, Math.Min(span.End, other.End) - Math.Max(span.First, other.First))) * 2 >= span.End - span.First;

    /// <summary>Stretches that overlap or touch made one.</summary>
    public static List<(int First, int End)> Merged(IEnumerable<(int First, int End)> spans)
    {
        var merged = new List<(int First, int End)>();
        foreach ((int first, int end) in spans.OrderBy(span => span.First))
        {
            if (merged.Count > 0 && first <= merged[^1].End)
            {
                merged[^1] = (merged[^1].First, Math.Max(merged[^1].End, end));
            }
            else
            {
                merged.Add((first, end));
            }
        }

        return merged;
    }
}
