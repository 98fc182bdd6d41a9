namespace SyncBench.Time;

/// <summary>A stretch of time, its end exclusive. The clock it is on is said by the name of what holds it.</summary>
/// <param name="Start">First instant inside.</param>
/// <param name="Duration">Never negative.</param>
public readonly record struct TimeRange(MediaTime Start, MediaTime Duration)
{
    /// <summary>First instant after the range.</summary>
    public MediaTime End => Start + Duration;

    public bool IsEmpty => Duration <= MediaTime.Zero;

    /// <summary>The range from <paramref name="start"/> to <paramref name="end"/>; empty where they cross.</summary>
    public static TimeRange Between(MediaTime start, MediaTime end) =>
        new(start, end > start ? end - start : MediaTime.Zero);

    public bool Contains(MediaTime instant) => instant >= Start && instant < End;

    /// <summary>What both ranges share; empty where they do not meet.</summary>
    public TimeRange Intersect(TimeRange other) =>
        Between(MediaTime.Max(Start, other.Start), MediaTime.Min(End, other.End));
}
