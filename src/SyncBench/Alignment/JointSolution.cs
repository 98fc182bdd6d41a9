using MathNet.Numerics.LinearAlgebra;

namespace SyncBench.Alignment;

/// <summary>Where every clip lies and how fast every device runs, from all matches at once.</summary>
/// <param name="OffsetSeconds">By clip; NaN where a clip matches nothing. The earliest clip of a group is 0.</param>
/// <param name="OffsetErrorSeconds">By clip: one standard error at the middle of the clip.</param>
/// <param name="Ppm">By device: growth of its second against the reference device's.</param>
/// <param name="PpmError">By device: one standard error.</param>
/// <param name="Group">By clip; −1 where a clip matches nothing.</param>
/// <param name="Matches">The matches that agree with the solution.</param>
internal sealed record Solution(
    double[] OffsetSeconds, double[] OffsetErrorSeconds, double[] Ppm, double[] PpmError, int[] Group,
    IReadOnlyList<PairMatch> Matches)
{
    internal double CommonSeconds(int clip, int device, double clipSeconds) =>
        OffsetSeconds[clip] + (clipSeconds * (1 + (Ppm[device] * 1e-6)));
}

/// <summary>
/// Weighted least squares over the graph of matches: unknown are one offset for each clip and one rate for each device,
/// and every measured lag is an equation <c>o_q + (1+r_q)·t_q = o_r + (1+r_r)·(t_q + lag)</c>.
/// </summary>
/// <remarks>
/// The idea of solving all pairs together over a graph is published by J. Kammerl et al., "Temporal synchronization of
/// multiple audio signals", ICASSP 2014 (start from a maximum spanning tree there, as here). Lags off the solution
/// lose weight (Tukey); a match whose lags do not fit the cycle it closes is dropped and the rest solved again.
/// </remarks>
internal sealed class JointSolution(int[] deviceOfClip, int devices, int referenceDevice, double[] clipSeconds)
{
    /// <summary>Prior spread of a device's rate: common crystals keep within 20 to 50 ppm (common practice).</summary>
    private const double PriorPpm = 40;

    /// <summary>A talker who leans about gives lags that err together; no lag counts as better than this.</summary>
    private const double LeastSpreadSeconds = 0.00002;

    private const double CycleToleranceSeconds = 0.003;

    /// <summary>Two far mics may agree on a reflection; such a pair joins clips only where nothing better does.</summary>
    private const double FarToleranceSeconds = 0.0005;

    /// <summary>
    /// Spread of an offset about its start along the tree: so wide that any lag outweighs it, and there so that clips whose
    /// only match has lost all weight still lie somewhere, with an error that says what that is worth.
    /// </summary>
    private const double PriorSeconds = 1;

    private const int Rounds = 12;

    internal Solution Solve(IEnumerable<PairMatch> matches)
    {
        List<PairMatch> all = [.. matches.OrderBy(match => match.LogChance)];
        List<PairMatch> kept = all.FindAll(match => match.ShowsDirectPath);
        List<PairMatch> far = all.FindAll(match => !match.ShowsDirectPath);
        foreach (PairMatch match in far)
        {
            int[] group = Groups(kept);
            if (group[match.Query] < 0 || group[match.Query] != group[match.Reference])
            {
                kept.Add(match);
            }
        }

        Solution tree = Consistent(kept);
        return Centred(Consistent([.. tree.Matches, .. far.Where(match =>
            !tree.Matches.Contains(match) && Math.Abs(Disagreement(match, tree)) < FarToleranceSeconds)]));
    }

    private Solution Centred(Solution solution) => solution with
    {
        OffsetSeconds = [.. solution.OffsetSeconds.Select((offset, clip) => offset - ClockBend.Middle(
            deviceOfClip[clip] == referenceDevice ? [] : OffsAgainstReference(clip, solution)))],
    };

    private IEnumerable<(double ClipSeconds, double OffSeconds)> OffsAgainstReference(int clip, Solution solution) =>
        from match in solution.Matches
        where (match.Query == clip || match.Reference == clip) && deviceOfClip[match.Other(clip)] == referenceDevice
        from lag in match.Lags.Lags.Where((_, i) => match.Lags.Counted[i])
        let off = Residual(match, lag, solution)
        select match.Query == clip ? (lag.QuerySeconds, off) : (lag.QuerySeconds + lag.LagSeconds, -off);

    /// <summary>Solves, and drops the least certain match that contradicts, until none does.</summary>
    private Solution Consistent(List<PairMatch> kept)
    {
        while (true)
        {
            Solution solution = SolveOnce(kept);
            PairMatch? worst = kept
                .Where(match => Math.Abs(Disagreement(match, solution)) > CycleToleranceSeconds)
                .MaxBy(match => match.LogChance);
            if (worst is null)
            {
                return solution;
            }

            kept.Remove(worst);
        }
    }

    private Solution SolveOnce(List<PairMatch> matches)
    {
        int clips = deviceOfClip.Length;
        int[] group = Groups(matches);
        double[] tree = TreeOffsets(matches, group), offset = tree;
        double[] ppm = new double[devices];
        var inverse = Matrix<double>.Build.Dense(clips + devices, clips + devices);
        double[] weights = new double[matches.Sum(match => match.Lags.Lags.Length)];
        for (int round = 0; round < Rounds; round++)
        {
            var current = new Solution(offset, [], ppm, [], group, matches);
            Weigh(matches, current, round, weights);
            (inverse, Vector<double> solved) = Normal(matches, group, tree, weights);
            offset = [.. Enumerable.Range(0, clips).Select(c => group[c] < 0 ? double.NaN : solved[c])];
            ppm = [.. Enumerable.Range(0, devices).Select(d => d == referenceDevice ? 0 : solved[clips + d])];
        }

        ShiftToZero(offset, group);
        return new Solution(
            offset,
            [.. Enumerable.Range(0, clips).Select(c => MiddleError(c, inverse))],
            ppm,
            [.. Enumerable.Range(0, devices).Select(d => Math.Sqrt(Math.Max(0, inverse[clips + d, clips + d])))],
            group,
            matches);
    }

    /// <summary>Median of what a match measured less what the solution says.</summary>
    private double Disagreement(PairMatch match, Solution solution)
    {
        double[] off = [.. match.Lags.Lags.Where((_, i) => match.Lags.Counted[i]).Select(lag => Residual(match, lag, solution))];
        return off.Length == 0 ? 0 : MathNet.Numerics.Statistics.Statistics.Median(off);
    }

    private double Residual(PairMatch match, Lag lag, Solution at) =>
        at.CommonSeconds(match.Query, deviceOfClip[match.Query], lag.QuerySeconds)
        - at.CommonSeconds(match.Reference, deviceOfClip[match.Reference], lag.QuerySeconds + lag.LagSeconds);

    private int[] Groups(List<PairMatch> matches)
    {
        int[] group = new int[deviceOfClip.Length];
        Array.Fill(group, -1);
        int next = 0;
        for (int clip = 0; clip < group.Length; clip++)
        {
            if (group[clip] >= 0 || !matches.Exists(m => m.Reference == clip || m.Query == clip))
            {
                continue;
            }

            var reached = new Stack<int>([clip]);
            while (reached.TryPop(out int at))
            {
                group[at] = next;
                foreach (PairMatch match in matches.Where(m => m.Reference == at || m.Query == at))
                {
                    if (group[match.Other(at)] < 0)
                    {
                        reached.Push(match.Other(at));
                    }
                }
            }

            next++;
        }

        return group;
    }

    /// <summary>Offsets along the most certain matches alone: a start near enough for the weights to work.</summary>
    private static double[] TreeOffsets(List<PairMatch> mostCertainFirst, int[] group)
    {
        double[] offset = new double[group.Length];
        Array.Fill(offset, double.NaN);
        foreach (int first in group.Where(g => g >= 0).Distinct().Select(g => Array.IndexOf(group, g)))
        {
            offset[first] = 0;
        }

        while (true)
        {
            PairMatch? next = mostCertainFirst.Find(m => double.IsNaN(offset[m.Query]) != double.IsNaN(offset[m.Reference]));
            if (next is null)
            {
                return offset;
            }

            double lag = next.Lags.Line.LagSeconds;
            if (double.IsNaN(offset[next.Query]))
            {
                offset[next.Query] = offset[next.Reference] + lag;
            }
            else
            {
                offset[next.Reference] = offset[next.Query] - lag;
            }
        }
    }

    private void Weigh(List<PairMatch> matches, Solution current, int round, double[] weights)
    {
        int i = 0;
        foreach (PairMatch match in matches)
        {
            double spread = Math.Max(match.Lags.SpreadSeconds, LeastSpreadSeconds);
            // The rates are still zero in the first round, so nothing can be judged by its residual there.
            double reach = round == 0 ? double.PositiveInfinity : Math.Max(6 * spread, 0.0002) + (0.02 * Math.Pow(0.3, round));
            for (int n = 0; n < match.Lags.Lags.Length; n++, i++)
            {
                double off = Residual(match, match.Lags.Lags[n], current) / reach;
                double tukey = Math.Abs(off) < 1 ? (1 - (off * off)) * (1 - (off * off)) : 0;
                weights[i] = match.Lags.Counted[n] ? tukey / (spread * spread) : 0;
            }
        }
    }

    /// <summary>Normal equations, offsets in seconds and rates in ppm.</summary>
    private (Matrix<double> Inverse, Vector<double> Solved) Normal(
        List<PairMatch> matches, int[] group, double[] tree, double[] weights)
    {
        int clips = deviceOfClip.Length;
        Matrix<double> normal = Matrix<double>.Build.Dense(clips + devices, clips + devices);
        Vector<double> right = Vector<double>.Build.Dense(clips + devices);
        const double Fixed = 1e24;
        for (int clip = 0; clip < clips; clip++)
        {
            bool isGauge = group[clip] < 0 || Array.IndexOf(group, group[clip]) == clip;
            normal[clip, clip] += isGauge ? Fixed : 1 / (PriorSeconds * PriorSeconds);
            right[clip] += isGauge ? 0 : tree[clip] / (PriorSeconds * PriorSeconds);
        }

        for (int device = 0; device < devices; device++)
        {
            normal[clips + device, clips + device] += device == referenceDevice ? Fixed : 1 / (PriorPpm * PriorPpm);
        }

        Span<int> columns = stackalloc int[4];
        Span<double> values = stackalloc double[4];
        int i = 0;
        foreach (PairMatch match in matches)
        {
            columns[0] = match.Query;
            columns[1] = match.Reference;
            columns[2] = clips + deviceOfClip[match.Query];
            columns[3] = clips + deviceOfClip[match.Reference];
            foreach (Lag lag in match.Lags.Lags)
            {
                double weight = weights[i++];
                if (weight > 0)
                {
                    values[0] = 1;
                    values[1] = -1;
                    values[2] = lag.QuerySeconds * 1e-6;
                    values[3] = -(lag.QuerySeconds + lag.LagSeconds) * 1e-6;
                    AddEquation(normal, right, columns, values, lag.LagSeconds, weight);
                }
            }
        }

        Matrix<double> inverse = normal.Inverse();
        return (inverse, inverse * right);
    }

    private static void AddEquation(
        Matrix<double> normal, Vector<double> right, Span<int> columns, Span<double> values, double equals, double weight)
    {
        for (int a = 0; a < 4; a++)
        {
            right[columns[a]] += weight * values[a] * equals;
            for (int b = 0; b < 4; b++)
            {
                normal[columns[a], columns[b]] += weight * values[a] * values[b];
            }
        }
    }

    private double MiddleError(int clip, Matrix<double> inverse)
    {
        int rate = deviceOfClip.Length + deviceOfClip[clip];
        double half = clipSeconds[clip] / 2 * 1e-6;
        double variance = inverse[clip, clip] + (2 * half * inverse[clip, rate]) + (half * half * inverse[rate, rate]);
        return Math.Sqrt(Math.Max(0, variance));
    }

    private static void ShiftToZero(double[] offset, int[] group)
    {
        foreach (int g in group.Where(g => g >= 0).Distinct().ToArray())
        {
            double earliest = offset.Where((_, clip) => group[clip] == g).Min();
            for (int clip = 0; clip < offset.Length; clip++)
            {
                offset[clip] -= group[clip] == g ? earliest : 0;
            }
        }
    }
}
