using SyncBench.Alignment;
using SyncBench.Time;

namespace SyncBench.Selection;

/// <summary>The steps in which a take is looked at, on the common clock.</summary>
/// <param name="Start">Where step 0 begins.</param>
internal readonly record struct TakeGrid(MediaTime Start, int Steps, Rate StepRate)
{
    /// <summary>Steps of 10 ms, as the levels of bands have.</summary>
    public static TakeGrid Over(TimeRange commonRange) => Over(commonRange, BandLevels.StepRate);

    public static TakeGrid Over(TimeRange commonRange, Rate stepRate) => new(
        commonRange.Start, checked((int)commonRange.Duration.ToUnitCeiling(stepRate)), stepRate);

    private Rate HalfSteps => new(2 * StepRate.Numerator, StepRate.Denominator);

    /// <summary>Where a step begins; step <see cref="Steps"/> is the end of the last.</summary>
    public MediaTime At(int step) => Start + MediaTime.FromUnits(step, StepRate);

    public MediaTime MiddleOf(int step) => Start + MediaTime.FromUnits((2L * step) + 1, HalfSteps);

    public TimeRange Between(int first, int end) => TimeRange.Between(At(first), At(end));

    /// <summary>The first step whose middle is not before this time.</summary>
    public int FirstMiddleFrom(MediaTime common) =>
        (int)Math.Clamp(Math.Floor((common - Start).ToUnitCeiling(HalfSteps) / 2.0), 0, Steps);
}
