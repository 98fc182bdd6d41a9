namespace SyncBench.Intake;

/// <summary>Two files that belong together at a point that a person knows.</summary>
/// <param name="File">The one to be placed: its sound is not asked.</param>
/// <param name="Against">The one that it is placed by.</param>
/// <param name="OffsetS">Seconds from the start of <paramref name="Against"/> to that of <paramref name="File"/>; negative where it begins earlier.</param>
public sealed record PlacedByHand(string File, string Against, double OffsetS)
{
    private const double LongestS = 7 * 86_400.0;

    /// <summary>"CAM_B/B003.MP4 begins 12.48 s after RECORDER/R001.WAV".</summary>
    public override string ToString() => FormattableString.Invariant(
        $"{File} begins {Math.Abs(OffsetS):0.######} s {(OffsetS < 0 ? "before" : "after")} {Against}");

    internal string? Wrong() =>
        File == Against ? $"{File} is placed against itself"
        : OffsetS is not (>= -LongestS and <= LongestS) ? $"{File}: an offset is seconds, a week at most"
        : null;
}
