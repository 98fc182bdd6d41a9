using SyncBench.Selection;
using SyncBench.Selection.Speakers;

namespace SyncBench.Reporting;

/// <summary>How loud a turn is on whichever mic is chosen.</summary>
internal static class TurnLevel
{
    /// <summary>Mean power of the speech band over the turn, in dB relative to full scale; not a number where nothing was measured.</summary>
    internal static double Db(TakeSound sound, Turn turn)
    {
        double[] power = [.. sound.Segments.SelectMany(segment =>
        {
            var range = segment.CommonRange.Intersect(turn.CommonRange);
            MicCurve? curve = sound.Curves.FirstOrDefault(curve =>
                curve.Source.Clip.File == segment.Source.Clip.File && curve.Source.Mic.Channel == segment.Source.Mic.Channel);
            if (range.IsEmpty || curve is null)
            {
                return [];
            }

            double step = curve.Step.ToSeconds();
            int first = Math.Max(0, (int)Math.Ceiling((range.Start - curve.Start).ToSeconds() / step));
            int end = Math.Min(curve.LevelDb.Length, (int)((range.End - curve.Start).ToSeconds() / step));
            return Enumerable.Range(first, Math.Max(0, end - first)).Select(i => Math.Pow(10, curve.LevelDb[i] / 10)).Where(double.IsFinite);
        })];
        return power.Length == 0 ? double.NaN : 10 * Math.Log10(power.Average());
    }
}
