using SyncBench.Alignment;
using SyncBench.Time;

namespace SyncBench.Selection;

/// <summary>The steps of 10 ms in which a take is looked at, on the common clock.</summary>
/// <param name="Start">Where step 0 begins.</param>
internal readonly record struct TakeGrid(MediaTime Start, int Steps)
{
    public static TakeGrid Over(TimeRange commonRange) => new(
        commonRange.Start, checked((int)commonRange.Duration.ToUnitCeiling(BandLevels.StepRate)));

    /// <summary>Where a step begins; step <see cref="Steps"/> is the end of the last.</summary>
    public MediaTime At(int step) => Start + MediaTime.FromUnits(step, BandLevels.StepRate);

    public MediaTime MiddleOf(int step) => Start + MediaTime.FromUnits((2L * step) + 1, new Rate(200));

    public TimeRange Between(int first, int end) => TimeRange.Between(At(first), At(end));
}
