using SyncBench.Time;

namespace SyncBench.Selection;

/// <summary>A stretch of one mic, in steps of the grid and exactly.</summary>
/// <param name="ByHand">Whether a person chose it.</param>
internal sealed record Stretch(int Mic, int First, int End, TimeRange CommonRange, bool ByHand);

/// <summary>Turns a path of steps into exact stretches.</summary>
/// <remarks>
/// A mic that starts or stops does so inside a step, not on its edge. There the exact time counts, so that no segment
/// asks for sound that does not exist and none leaves out sound that does.
/// </remarks>
internal static class SegmentEdges
{
    /// <param name="byHand">Whether a person chose the mic of each step of the path.</param>
    public static List<Stretch> Of(int[] path, bool[] byHand, TakeMics mics)
    {
        var stretches = new List<Stretch>();
        int first = 0;
        for (int step = 1; step <= path.Length; step++)
        {
            if (step == path.Length || path[step] != path[first] || byHand[step] != byHand[first])
            {
                if (path[first] >= 0)
                {
                    stretches.Add(new Stretch(path[first], first, step, default, byHand[first]));
                }

                first = step;
            }
        }

        for (int i = 0; i < stretches.Count; i++)
        {
            Stretch? before = i > 0 ? stretches[i - 1] : null;
            Stretch? after = i + 1 < stretches.Count ? stretches[i + 1] : null;
            stretches[i] = stretches[i] with { CommonRange = Exactly(stretches[i], before, after, mics) };
        }

        return [.. stretches.Where(stretch => !stretch.CommonRange.IsEmpty)];
    }

    private static TimeRange Exactly(Stretch stretch, Stretch? before, Stretch? after, TakeMics mics)
    {
        TimeRange rolls = mics.Tracks[stretch.Mic].CommonRange;
        MediaTime start = before?.End == stretch.First
            ? MediaTime.Max(Change(before, stretch, mics), rolls.Start)
            : EdgeOf(mics.Grid.At(stretch.First), rolls.Start, mics.Grid);
        MediaTime end = after?.First == stretch.End
            ? MediaTime.Min(Change(stretch, after, mics), rolls.End)
            : EdgeOf(mics.Grid.At(stretch.End), rolls.End, mics.Grid);
        TimeRange take = new(mics.Grid.Start, mics.Take.Duration);
        return TimeRange.Between(start, end).Intersect(take);
    }

    /// <summary>Where one mic hands over to the next: on the grid unless one stops before or the other starts later.</summary>
    private static MediaTime Change(Stretch left, Stretch right, TakeMics mics)
    {
        MediaTime stops = mics.Tracks[left.Mic].CommonRange.End;
        MediaTime starts = mics.Tracks[right.Mic].CommonRange.Start;
        return MediaTime.Max(MediaTime.Min(mics.Grid.At(right.First), stops), starts);
    }

    /// <summary>At the end of a run the mic's own edge counts where it lies within the step.</summary>
    private static MediaTime EdgeOf(MediaTime onGrid, MediaTime ownEdge, TakeGrid grid) =>
        MediaTime.Abs(ownEdge - onGrid) < grid.At(1) - grid.At(0) ? ownEdge : onGrid;
}
