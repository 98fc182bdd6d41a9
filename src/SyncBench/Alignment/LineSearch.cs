using System.Numerics.Tensors;
using SyncBench.Signal;

namespace SyncBench.Alignment;

/// <summary>A line on which windows agree, and how likely chance would bring such agreement.</summary>
/// <param name="LogChance">
/// Natural logarithm of the probability that windows without any relation agree as well anywhere in the search.
/// </param>
/// <param name="EarliestSeconds">Lag of the first peak near the line that is nearly as high: the direct path, as far as can be told.</param>
internal readonly record struct FoundLine(LagLine Line, double EarliestSeconds, double LogChance, int Windows);

/// <summary>
/// Looks around one coarse lag for the straight line (lag and clock rate) on which the correlations of many separate
/// windows agree.
/// </summary>
/// <remarks>
/// Each window gives a row: its whitened correlation at every lag within half a second, in cells of 0.25 ms, in units
/// of its own spread and cut at <see cref="Most"/> so that no single sharp sound decides. Rows are summed along every
/// line of the search and the best line wins (accumulating before picking peaks is more robust than letting each
/// window vote: M. Matassoni and P. Svaizer, EUSIPCO 2006).
/// Chance is judged against rows shifted at random against each other (<see cref="ChanceOfSum"/>), times the number of
/// lines tried. A row with many peaks (a hum, a loop of music) so counts for little, and nothing is assumed of the
/// shape of the noise.
/// </remarks>
internal sealed class LineSearch
{
    internal const double ReachSeconds = 0.5;

    private const double MaxPpm = 150;
    private const double LongestWindow = 2.048;
    private const double ShortestWindow = 0.35;
    private const int MaxWindows = 24;

    /// <summary>Few long windows see through noise, many short ones part two talkers: a short clip is asked both ways.</summary>
    private static readonly int[] WishedWindows = [6, 12];

    private const int CellSamples = 4;
    private const int ReachSamples = (int)(ReachSeconds * SoundTrack.SamplesPerSecond);
    private const int ReachCells = ReachSamples / CellSamples;
    private const int Cells = (2 * ReachCells) + 1;
    internal const double CellSeconds = CellSamples / SoundTrack.SamplesPerSecond;
    private const float Most = 8;

    /// <summary>60 ms: within it lie the strong reflections of a room for talking.</summary>
    private const int NearCells = 240;

    /// <summary>20 ms, 7 m: a reflection from the far wall of a room for talking.</summary>
    private const int LongestDetourCells = 80;

    private const float Least = -3;

    private static readonly float[] Whitenings = [1f, 0.8f];

    private readonly float[] _query = new float[(int)(LongestWindow * SoundTrack.SamplesPerSecond)];
    private readonly float[] _reference =
        new float[(int)((LongestWindow + (2 * ReachSeconds)) * SoundTrack.SamplesPerSecond)];

    private readonly ChanceOfSum _chance = new(Cells);
    private readonly float[] _row = new float[(2 * ReachSamples) + 1];
    private readonly CrossCorrelator _long = new(1 << 16, SoundTrack.SamplesPerSecond, 200, 7500);
    private readonly CrossCorrelator _short = new(1 << 15, SoundTrack.SamplesPerSecond, 200, 7500);

    /// <param name="reachSeconds">How far from <paramref name="lagSeconds"/> lines are looked for: the fewer, the less chance finds.</param>
    /// <returns>Null where the overlap is too short or silent to tell.</returns>
    internal FoundLine? Find(SoundPair pair, double lagSeconds, double reachSeconds = ReachSeconds)
    {
        (double start, double end) = pair.Overlap(lagSeconds);
        double[] lengths =
        [
            .. WishedWindows.Select(wished => Math.Clamp((end - start) / wished, ShortestWindow, LongestWindow)).Distinct(),
        ];
        FoundLine? best = null;
        foreach (double seconds in lengths)
        {
            if (Find(pair, lagSeconds, reachSeconds, seconds) is { } found && (best is null || found.LogChance < best.Value.LogChance))
            {
                best = found;
            }
        }

        return best is { } line ? line with { LogChance = line.LogChance + Math.Log(lengths.Length * Whitenings.Length) } : null;
    }

    private FoundLine? Find(SoundPair pair, double lagSeconds, double reachSeconds, double seconds)
    {
        (double start, double end) = pair.Overlap(lagSeconds);
        int slots = Math.Min(MaxWindows, (int)((end - start) / seconds));
        if (slots < 2)
        {
            return null;
        }

        double[] starts = pair.WindowStarts(lagSeconds, seconds, slots);
        float[] taper = Window.Hann((int)(seconds * SoundTrack.SamplesPerSecond));
        var middles = new List<double>();
        List<float[]>[] rows = [.. Whitenings.Select(_ => new List<float[]>())];
        foreach (double at in starts)
        {
            if (Load(pair, at, lagSeconds, taper) is not { } correlator)
            {
                continue;
            }

            middles.Add(at + (seconds / 2));
            for (int w = 0; w < Whitenings.Length; w++)
            {
                correlator.Row(Whitenings[w], ReachSamples, _row);
                rows[w].Add(Cell(_row));
            }
        }

        int reach = Math.Clamp((int)Math.Ceiling(reachSeconds / CellSeconds), 1, ReachCells);
        return middles.Count < 2
            ? null
            : rows.Select(r => BestLine([.. r], [.. middles], lagSeconds, reach, pair.Reflections)).MinBy(found => found.LogChance);
    }

    /// <summary>Loads a window of the query and half a second more on both sides of the reference.</summary>
    /// <returns>Null where one of the two is silent.</returns>
    private CrossCorrelator? Load(SoundPair pair, double at, double lagSeconds, float[] taper)
    {
        Span<float> query = _query.AsSpan(0, taper.Length);
        Span<float> reference = _reference.AsSpan(0, taper.Length + (2 * ReachSamples));
        long first = (long)Math.Round(at * SoundTrack.SamplesPerSecond);
        pair.Query.Read(first, query);
        pair.Reference.Read(
            first + (long)Math.Round(lagSeconds * SoundTrack.SamplesPerSecond) - ReachSamples, reference);
        TensorPrimitives.Multiply(query, taper, query);
        CrossCorrelator correlator = reference.Length <= _short.Size ? _short : _long;
        return correlator.Load(reference, query) ? correlator : null;
    }

    /// <summary>The highest value of each cell, in units of the row's spread above its median.</summary>
    private static float[] Cell(ReadOnlySpan<float> row)
    {
        float[] cells = new float[Cells];
        for (int i = 0; i < Cells; i++)
        {
            int from = Math.Max(0, (i * CellSamples) - (CellSamples / 2));
            cells[i] = TensorPrimitives.Max(row[from..Math.Min(row.Length, from + CellSamples)]);
        }

        (float middle, float spread) = Statistics.MedianAndSpread<float>([.. cells]);
        if (!(spread > 0))
        {
            cells.AsSpan().Clear();
            return cells;
        }

        TensorPrimitives.Subtract(cells, middle, cells);
        TensorPrimitives.Divide(cells, spread, cells);
        return cells;
    }

    private FoundLine BestLine(float[][] rows, double[] middles, double lagSeconds, int reachCells, Reflections reflections)
    {
        double middle = (middles[0] + middles[^1]) / 2, span = middles[^1] - middles[0];
        double ppmStep = span > 0 ? 2 * CellSeconds / span * 1e6 : MaxPpm;
        int slopes = (int)(MaxPpm / ppmStep);
        int first = ReachCells - reachCells, lags = (2 * reachCells) + 1;
        float[][] cut = [.. rows.Select(Cut)];
        float[] sum = new float[Cells];
        (float Score, int Cell, double Ppm) best = (float.NegativeInfinity, 0, 0);
        for (int n = 0; n <= 2 * slopes; n++)
        {
            // From no slope outwards: of slopes that score alike the least wins.
            double ppm = (n % 2 == 0 ? n / 2 : -(n + 1) / 2) * ppmStep;
            Accumulate(cut, middles, middle, ppm, sum);
            int cell = first + TensorPrimitives.IndexOfMax<float>(sum.AsSpan(first, lags));
            if (sum[cell] > best.Score)
            {
                best = (sum[cell], cell, ppm);
            }
        }

        double tried = lags * ((2.0 * slopes) + 1);
        (int highest, int earliest) = PeaksNear(rows, middles, middle, best.Ppm, best.Cell, reflections);
        double Lag(int cell) => lagSeconds + ((cell - ReachCells) * CellSeconds);
        return new FoundLine(
            new LagLine(middle, Lag(highest), best.Ppm), Lag(earliest), _chance.Log(cut, best.Score) + Math.Log(tried), rows.Length);
    }

    private static float[] Cut(float[] cells)
    {
        float[] cut = new float[Cells];
        TensorPrimitives.Clamp(cells, Least, Most, cut);
        return cut;
    }

    /// <summary>
    /// Cut rows cannot tell the direct path from a reflection that is also well above the noise; uncut ones can. In a long
    /// room the highest may still be a reflection that comes tens of milliseconds late.
    /// </summary>
    private static (int Highest, int Earliest) PeaksNear(
        float[][] rows, double[] middles, double middle, double ppm, int cell, Reflections reflections)
    {
        float[] sum = new float[Cells];
        Accumulate(rows, middles, middle, ppm, sum);
        int from = Math.Max(0, cell - NearCells), to = Math.Min(Cells, cell + NearCells + 1);
        int highest = from + TensorPrimitives.IndexOfMax<float>(sum.AsSpan(from, to - from));
        return (highest, FirstArrival.FirstStrongPeak(sum, highest, reflections, LongestDetourCells));
    }

    private static void Accumulate(float[][] rows, double[] middles, double middle, double ppm, Span<float> sum)
    {
        sum.Clear();
        for (int k = 0; k < rows.Length; k++)
        {
            int shift = (int)Math.Round((middles[k] - middle) * ppm * 1e-6 / CellSeconds);
            int from = Math.Max(0, -shift), count = Cells - Math.Abs(shift);
            if (count > 0)
            {
                Span<float> part = sum.Slice(from, count);
                TensorPrimitives.Add(part, rows[k].AsSpan(from + shift, count), part);
            }
        }
    }
}
