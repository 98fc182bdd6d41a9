using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>The curves of whichever mic is chosen, thinned to what a plot can show.</summary>
/// <param name="PeakDb">Highest of each column; NaN where no mic is chosen or it was not measured.</param>
/// <param name="LevelDb">Mean of each column.</param>
/// <param name="NoiseDb">Mean of each column.</param>
internal sealed record LevelCurve(double[] PeakDb, double[] LevelDb, double[] NoiseDb)
{
    /// <summary>More columns than a plot is wide would only make the page heavy.</summary>
    private const int MostColumns = 780;

    internal static LevelCurve OfChosenMic(TakeSound sound)
    {
        TimeRange range = sound.Take.CommonRange;
        int columns = sound.Curves.Select(curve => curve.LevelDb.Length).Append(1).Max();
        columns = Math.Clamp(columns, 1, MostColumns);
        var thinned = new LevelCurve(NaNs(columns), NaNs(columns), NaNs(columns));
        double width = range.Duration.ToSeconds() / columns;
        Dictionary<(string Path, int Channel), MicCurve> curves = sound.Curves
            .DistinctBy(curve => Key(curve.Source)).ToDictionary(curve => Key(curve.Source));
        int next = 0;
        for (int column = 0; column < columns; column++)
        {
            MediaTime middle = range.Start + MediaTime.FromSeconds((column + 0.5) * width);
            while (next < sound.Segments.Length && sound.Segments[next].CommonRange.End <= middle)
            {
                next++;
            }

            if (next < sound.Segments.Length && sound.Segments[next].CommonRange.Contains(middle)
                && curves.TryGetValue(Key(sound.Segments[next].Source), out MicCurve? curve))
            {
                thinned.Fill(column, curve, (range.Start - curve.Start).ToSeconds() + (column * width), width);
            }
        }

        return thinned;
    }

    private static (string Path, int Channel) Key(MicSource source) => (source.Clip.File.Path, source.Mic.Channel);

    private static double[] NaNs(int count)
    {
        var numbers = new double[count];
        Array.Fill(numbers, double.NaN);
        return numbers;
    }

    private void Fill(int column, MicCurve curve, double fromSeconds, double seconds)
    {
        double step = curve.Step.ToSeconds();
        int first = Math.Max(0, (int)Math.Floor((fromSeconds / step) + 1e-6));
        int end = Math.Max(first + 1, (int)Math.Floor(((fromSeconds + seconds) / step) + 1e-6));
        PeakDb[column] = Finite(curve.PeakDb, first, end).DefaultIfEmpty(double.NaN).Max();
        LevelDb[column] = Finite(curve.LevelDb, first, end).DefaultIfEmpty(double.NaN).Average();
        NoiseDb[column] = Finite(curve.NoiseDb, first, end).DefaultIfEmpty(double.NaN).Average();
    }

    private static IEnumerable<double> Finite(IReadOnlyList<float> values, int first, int end) =>
        Enumerable.Range(first, Math.Max(0, Math.Min(end, values.Count) - first))
            .Select(i => (double)values[i]).Where(double.IsFinite);
}
