namespace SyncBench.Time;

/// <summary>A jump of a clip's clock in some unit of its time: samples, steps.</summary>
/// <param name="At">On the clip as it is: the first unit after the jump.</param>
/// <param name="Lost">What is missing before it; negative where some came twice.</param>
public readonly record struct JumpAt(double At, double Lost);

/// <summary>
/// Times of a clip as it is, and times that count what was lost as well, in any unit. <see cref="ClockMap"/> does the same
/// exactly; this is for those who measure.
/// </summary>
public static class JumpedTime
{
    /// <param name="jumps">In order.</param>
    /// <param name="onClip">A time of the clip as it is.</param>
    public static double ToWhole(ReadOnlySpan<JumpAt> jumps, double onClip)
    {
        double whole = onClip;
        foreach (JumpAt jump in jumps)
        {
            whole += jump.At <= onClip ? jump.Lost : 0;
        }

        return whole;
    }

    /// <summary>What falls into a loss is the instant after it; of sound that came twice the first is meant.</summary>
    /// <param name="jumps">In order.</param>
    /// <param name="whole">A time that counts what was lost as well.</param>
    public static double ToClip(ReadOnlySpan<JumpAt> jumps, double whole)
    {
        foreach (JumpAt jump in jumps)
        {
            whole = whole < jump.At ? whole : Math.Max(jump.At, whole - jump.Lost);
        }

        return whole;
    }
}
