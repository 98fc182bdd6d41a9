using SyncBench.Signal.Loudness;
using SyncBench.Time;

namespace SyncBench.Selection;

/// <summary>The steps of 20 ms in which the loudness of a take is looked at, on the common clock.</summary>
internal readonly record struct TakeSteps(MediaTime Start, int Count)
{
    internal static TakeSteps Over(TimeRange commonRange) =>
        new(commonRange.Start, checked((int)commonRange.Duration.ToUnitFloor(LoudnessTrack.StepRate)));

    internal MediaTime MiddleOf(int step) => Start + MediaTime.FromUnits((2L * step) + 1, HalfSteps);

    /// <summary>Steps whose middles lie in a range.</summary>
    internal (int From, int To) Within(TimeRange commonRange)
    {
        (MediaTime start, int count) = (Start, Count);
        return (FirstMiddle(commonRange.Start), FirstMiddle(commonRange.End));

        int FirstMiddle(MediaTime instant) =>
            (int)Math.Clamp(Math.Floor((instant - start).ToUnitCeiling(HalfSteps) / 2.0), 0, count);
    }

    private static Rate HalfSteps => new(2 * LoudnessTrack.StepRate.Numerator);
}
