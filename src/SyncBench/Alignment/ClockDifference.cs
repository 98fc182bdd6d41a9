using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>How much later one clip began than another, by their timecodes.</summary>
internal static class ClockDifference
{
    private static readonly MediaTime Day = MediaTime.FromSeconds(24 * 3600);

    /// <summary>
    /// Every reading of the two, the plain one first, each to within half a day. At 23.976 and 29.97 some recorders turn
    /// their label into samples as if it counted 24 or 30 a second (common practice), so that their stamp may lie 3.6 s
    /// an hour lower than the time that the labels stand for.
    /// </summary>
    internal static IEnumerable<MediaTime> Readings(StartClock later, StartClock earlier)
    {
        yield return Wrapped(later.SinceMidnight - earlier.SinceMidnight, later, earlier);
        if (later.MayCountAtWholeRate(earlier.FrameRate) != earlier.MayCountAtWholeRate(later.FrameRate))
        {
            yield return Wrapped(Stretched(later, earlier) - Stretched(earlier, later), later, earlier);
        }
    }

    private static MediaTime Stretched(StartClock clock, StartClock other) =>
        clock.MayCountAtWholeRate(other.FrameRate)
            ? clock.SinceMidnight + MediaTime.FromSeconds(clock.SinceMidnight.ToSeconds() / 1000)
            : clock.SinceMidnight;

    /// <summary>Past midnight the labels begin again; where two count alike, after as many frames as they have in a day.</summary>
    private static MediaTime Wrapped(MediaTime difference, StartClock later, StartClock earlier)
    {
        MediaTime day = later.FrameRate is { } rate && rate == earlier.FrameRate && later.DropFrame == earlier.DropFrame
            ? MediaTime.FromUnits(TimecodeFormat.Of(rate, later.DropFrame).FramesPerDay, rate)
            : Day;
        double days = Math.Round(difference.ToSeconds() / day.ToSeconds());
        return difference - MediaTime.FromUnits((long)days * day.Numerator, new Rate((int)day.Denominator));
    }
}
