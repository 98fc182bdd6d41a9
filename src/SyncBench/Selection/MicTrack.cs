using System.Collections.Immutable;
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
    private readonly JumpAt[] _jumps;

    private MicTrack(MicSource source, ClipSound sound, TakeGrid grid, int first, int end)
    {
        Source = source;
        (First, End) = (first, end);
        _levels = sound.Bands[source.Mic.Channel];
        _measure = sound.Measures[source.Mic.Channel];
        Hum = sound.Hum[source.Mic.Channel];
        _lastClipStep = _levels.Steps - 1;

        // Without the jumps a placement is a straight line, so two exact points give all the steps between them.
        ClockMap map = source.Placement.MapOf(source.Mic);
        _jumps = [.. map.Jumps.Select(jump => new JumpAt(Steps(jump.At), Steps(jump.Lost)))];
        map = map with { Jumps = [] };
        _clipStepOfFirst = ClipSteps(grid.MiddleOf(first));
        _clipStepsPerStep = Count > 1 ? (ClipSteps(grid.MiddleOf(end - 1)) - _clipStepOfFirst) / (Count - 1) : 1;
        Floor = NoiseFloor.Of(_levels, _measure, ClipStep(first), ClipStep(end - 1) - ClipStep(first) + 1);

        double ClipSteps(MediaTime onCommon) => Steps(map.ToClip(onCommon));
        static double Steps(MediaTime time) => time.ToSeconds() * BandLevels.StepRate.PerSecond;
    }

    public MicSource Source { get; }

    /// <summary>First step of the grid in whose middle the mic rolls.</summary>
    public int First { get; }

    /// <summary>First step after <see cref="First"/> in whose middle it no longer rolls.</summary>
    public int End { get; }

    public int Count => End - First;

    public NoiseFloor Floor { get; }

    /// <summary>On the clip's own clock: see <see cref="StepOfLine"/>.</summary>
    public ImmutableArray<HumStretch> Hum { get; }

    /// <summary>The mic's sound on the common clock, exactly.</summary>
    public TimeRange CommonRange => RangeOf(Source);

    /// <summary>Null where the mic does not roll during the take.</summary>
    public static MicTrack? Of(MicSource source, ClipSound sound, TakeGrid grid)
    {
        TimeRange range = RangeOf(source);
        int first = grid.FirstMiddleFrom(range.Start), end = grid.FirstMiddleFrom(range.End);
        return first < end ? new MicTrack(source, sound, grid, first, end) : null;
    }

    public bool Rolls(int step) => step >= First && step < End;

    /// <summary>Levels of the 20 bands at a step of the grid.</summary>
    public ReadOnlySpan<byte> Levels(int step) => _levels.Step(ClipStep(step));

    public ReadOnlySpan<byte> Noise(int step) => Floor.Step(ClipStep(step));

    /// <summary>As <see cref="NoiseFloor.Steady"/>.</summary>
    public ReadOnlySpan<byte> SteadyNoise(int step) => Floor.Steady(ClipStep(step));

    public float PeakDb(int step) => _measure.PeakDb(MeasureStep(step));

    public int ClippedSamples(int step) => _measure.ClippedSamples(MeasureStep(step));

    public float MissingShare(int step) => _measure.MissingShare(MeasureStep(step));

    private int ClipStep(int step)
    {
        double clipStep = JumpedTime.ToClip(_jumps, _clipStepOfFirst + (_clipStepsPerStep * (step - First)));
        return Math.Clamp((int)Math.Floor(clipStep), 0, _lastClipStep);
    }

    /// <summary>The step of the grid in which the middle of a step of <see cref="LineLevels"/> lies; not clamped to the mic's own.</summary>
    public int StepOfLine(int lineStep)
    {
        double whole = JumpedTime.ToWhole(_jumps, lineStep * BandLevels.StepRate.PerSecond / LineLevels.StepRate.PerSecond);
        return First + (int)Math.Round((whole - _clipStepOfFirst) / _clipStepsPerStep);
    }

    private int MeasureStep(int step) => Math.Min(ClipStep(step), _measure.Steps - 1);

    private static TimeRange RangeOf(MicSource source)
    {
        ClockMap map = source.Placement.MapOf(source.Mic);
        return TimeRange.Between(map.ToCommon(MediaTime.Zero), map.ToCommon(source.Clip.Duration));
    }
}
