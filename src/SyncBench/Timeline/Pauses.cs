using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>Where a mic can be cut unheard: the level curves of the takes tell.</summary>
internal sealed class Pauses
{
    /// <summary>A pause is to last this long to either side of the cut.</summary>
    private static readonly MediaTime Around = MediaTime.FromMilliseconds(150);

    private readonly ILookup<(MediaFile File, MicChannel Mic), MicCurve> _curves;
    private readonly FrameGrid _grid;

    internal Pauses(ImmutableArray<TakeSound> takes, FrameGrid grid)
    {
        _curves = takes.SelectMany(take => take.Curves).ToLookup(curve => (curve.Source.Clip.File, curve.Source.Mic));
        _grid = grid;
    }

    /// <param name="first">A frame of the timeline; from it to <paramref name="last"/> may be cut.</param>
    /// <returns>The start of the quietest frame; the last where nothing is known of the sound there.</returns>
    internal long Quietest(Placement placement, MicChannel mic, long first, long last)
    {
        float least = float.PositiveInfinity;
        long best = last;
        foreach (MicCurve curve in _curves[(placement.Clip.File, mic)])
        {
            int reach = (int)Math.Max(1, Math.Round(Around.ToSeconds() / curve.Step.ToSeconds()));
            int from = Math.Max(0, Step(curve, first)), to = Math.Min(curve.LevelDb.Length - 1, Step(curve, last));
            for (int step = from; step <= to; step++)
            {
                float loudest = float.NegativeInfinity;
                for (int near = Math.Max(0, step - reach); near <= Math.Min(curve.LevelDb.Length - 1, step + reach); near++)
                {
                    loudest = MathF.Max(loudest, curve.LevelDb[near]); // not a number where the mic does not roll: no pause
                }

                long frame = _grid.ToTimeline(curve.Start + Steps(curve, step)).ToNearestUnit(_grid.FrameRate);
                if (loudest < least && frame >= first && frame <= last)
                {
                    (least, best) = (loudest, frame);
                }
            }
        }

        return best;
    }

    private int Step(MicCurve curve, long frame)
    {
        MediaTime common = _grid.ToCommon(MediaTime.FromUnits(frame, _grid.FrameRate));
        return (int)Math.Clamp((common - curve.Start).ToSeconds() / curve.Step.ToSeconds(), int.MinValue / 2, int.MaxValue / 2);
    }

    /// <summary>The middle of a step, from the curve's start.</summary>
    private static MediaTime Steps(MicCurve curve, int step) => MediaTime.FromSeconds((step + 0.5) * curve.Step.ToSeconds());
}
