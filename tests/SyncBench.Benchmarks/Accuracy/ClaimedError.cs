namespace SyncBench.Benchmarks.Accuracy;

/// <summary>Whether the standard error that a placement claims covers its error: within two of it should lie 95 %.</summary>
internal sealed record ClaimedError(
    string Condition, int Placed, double P50Ms, double P95Ms, double WithinTwo, double WithinThree)
{
    /// <summary>A clip in which the subject speaks for less is the interviewer's.</summary>
    private const double SubjectIsHeard = 0.15;

    internal static IEnumerable<ClaimedError> Of(IReadOnlyList<TrialResult> results)
    {
        TrialResult[] placed =
        [
            .. results.Where(r => r is { IsPlaced: true, IsRight: true, SigmaMs: not null, WarmingPpm: 0 } && r.Kind != Trials.Moving),
        ];
        (string, Func<TrialResult, bool>)[] groups =
        [
            ("2 and 5 s, the subject speaks", r => r.Seconds <= 5 && r.SubjectShare >= SubjectIsHeard),
            ("2 and 5 s, the interviewer alone", r => r.Seconds <= 5 && r.SubjectShare < SubjectIsHeard),
            ("10 s, the subject speaks", r => r.Seconds == 10 && r.SubjectShare >= SubjectIsHeard),
            ("10 s, the interviewer alone", r => r.Seconds == 10 && r.SubjectShare < SubjectIsHeard),
            ("30 s and more", r => r.Seconds >= 30 && r.Kind != Trials.Partial),
        ];
        return groups.Select(group => Of(group.Item1, [.. placed.Where(group.Item2)])).Where(row => row.Placed > 0);
    }

    private static ClaimedError Of(string condition, TrialResult[] placed)
    {
        double[] claimed = [.. placed.Select(r => r.SigmaMs!.Value).Order()];
        double At(double share) => claimed.Length == 0 ? 0 : claimed[(int)(share * (claimed.Length - 1))];
        double Within(double times) => placed.Count(r => Math.Abs(r.ErrorMs ?? 0) <= times * r.SigmaMs) / Math.Max(1.0, placed.Length);
        return new ClaimedError(condition, placed.Length, At(0.5), At(0.95), Within(2), Within(3));
    }
}
