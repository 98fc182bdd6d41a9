using SyncBench.Alignment;
using SyncBench.Time;

namespace SyncBench.Selection;

/// <summary>One mic's measurements laid on the grid of a take: steps <see cref="First"/> up to <see cref="End"/>.</summary>
internal sealed class MicTrack
{
    private readonly BandLevels _levels;
    private readonly MicMeasure _measure;
    private readonly double _clipStepOfFirst;
    private readonly double _clipStepsPerStep;
    private readonly int _lastClipStep;

    private MicTrack(MicSource source, ClipSound sound, TakeGrid grid, int first, int end)
    {
        Source = source;
        (First, End) = (first, end);
        _levels = sound.Bands[source.Mic.Channel];
        _measure = sound.Measures[source.Mic.Channel];
        _lastClipStep = _levels.Steps - 1;

        // A placement is a straight line, so two exact points give all the steps between them.
        _clipStepOfFirst = ClipSteps(grid.MiddleOf(first));
        _clipStepsPerStep = Count > 1 ? (ClipSteps(grid.MiddleOf(end - 1)) - _clipStepOfFirst) / (Count - 1) : 1;
        Floor = NoiseFloor.Of(_levels, _measure, ClipStep(first), ClipStep(end - 1) - ClipStep(first) + 1);

        double ClipSteps(MediaTime onCommon) =>
            source.Placement.ToMicTime(source.Mic, onCommon).ToSeconds() * BandLevels.StepRate.PerSecond;
    }

    public MicSource Source { get; }

    /// <summary>First step of the grid in whose middle the mic rolls.</summary>
    public int First { get; }

    /// <summary>First step after <see cref="First"/> in whose middle it no longer rolls.</summary>
    public int End { get; }

    public int Count => End - First;

    public NoiseFloor Floor { get; }

    /// <summary>The mic's sound on the common clock, exactly.</summary>
    public TimeRange CommonRange => RangeOf(Source);

    /// <summary>Null where the mic does not roll during the take.</summary>
    public static MicTrack? Of(MicSource source, ClipSound sound, TakeGrid grid)
    {
        TimeRange range = RangeOf(source);
        var half = new Rate(200);
        int first = FirstMiddle(range.Start - grid.Start);
        int end = FirstMiddle(range.End - grid.Start);
        return first < end ? new MicTrack(source, sound, grid, first, end) : null;

        // The first step whose middle is not before this time.
        int FirstMiddle(MediaTime sinceStart) =>
            (int)Math.Clamp(Math.Floor(sinceStart.ToUnitCeiling(half) / 2.0), 0, grid.Steps);
    }

    public bool Rolls(int step) => step >= First && step < End;

    /// <summary>Levels of the 20 bands at a step of the grid.</summary>
    public ReadOnlySpan<byte> Levels(int step) => _levels.Step(ClipStep(step));

    public ReadOnlySpan<byte> Noise(int step) => Floor.Step(ClipStep(step));

    public float PeakDb(int step) => _measure.PeakDb(MeasureStep(step));

    public int ClippedSamples(int step) => _measure.ClippedSamples(MeasureStep(step));

    public float MissingShare(int step) => _measure.MissingShare(MeasureStep(step));

    private int ClipStep(int step) =>
        Math.Clamp((int)Math.Floor(_clipStepOfFirst + (_clipStepsPerStep * (step - First))), 0, _lastClipStep);

    private int MeasureStep(int step) => Math.Min(ClipStep(step), _measure.Steps - 1);

    private static TimeRange RangeOf(MicSource source)
    {
        MediaTime delay = source.Placement.ToMicTime(source.Mic, MediaTime.Zero)
            - source.Placement.Map.ToClip(MediaTime.Zero);
        return TimeRange.Between(
            source.Placement.Map.ToCommon(MediaTime.Zero - delay),
            source.Placement.Map.ToCommon(source.Clip.Duration - delay));
    }
}
