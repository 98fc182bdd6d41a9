namespace SyncBench.Selection;

/// <summary>One mic's costs for <see cref="MicPath"/>, entry 0 being step <paramref name="First"/>.</summary>
/// <param name="Cost">Cost of hearing this mic during each step.</param>
/// <param name="MayLeave">Whether it may be left just before each step though it was heard for less than the minimum.</param>
internal sealed record MicCosts(int First, float[] Cost, bool[] MayLeave)
{
    public int End => First + Cost.Length;
}

/// <summary>The cheapest way through the mics of a take.</summary>
/// <remarks>
/// Dynamic programming (Viterbi 1967; Bellman) with the minimum length held by doubling the states: at each step a mic
/// has the cheapest path that has been on it for any time, and the cheapest that has been on it for at least the minimum
/// and so may leave. Time and memory grow with steps × mics. Ties go to the mic that comes first.
/// </remarks>
internal static class MicPath
{
    /// <summary>2 s.</summary>
    public const int Shortest = 200;

    /// <summary>The mic of each step, −1 where none rolls.</summary>
    /// <param name="switchPrice">Price of a change just before each step.</param>
    public static int[] Cheapest(MicCosts[] mics, float[] switchPrice)
    {
        var path = new int[switchPrice.Length];
        Array.Fill(path, -1);
        int step = 0;
        while (step < path.Length)
        {
            int end = EndOfRun(mics, step, path.Length);
            if (end > step)
            {
                new Run(mics, switchPrice, step, end).Trace(path);
            }

            step = Math.Max(end, step + 1);
        }

        return path;
    }

    /// <summary>First step from <paramref name="from"/> on at which no mic rolls.</summary>
    private static int EndOfRun(MicCosts[] mics, int from, int limit)
    {
        int end = from;
        while (end < limit && mics.Where(mic => mic.First <= end && mic.End > end).Select(mic => (int?)mic.End).Max() is { } next)
        {
            end = next;
        }

        return end;
    }

    /// <summary>A stretch through which some mic rolls at every step.</summary>
    private sealed class Run
    {
        private const double Never = double.PositiveInfinity;
        private const byte Entered = 1;
        private const byte JustMatured = 2;
        private const byte FromYoung = 4;

        private readonly MicCosts[] _mics;
        private readonly float[] _prices;
        private readonly int _first;
        private readonly int _end;
        private readonly double[] _any;
        private readonly double[] _mature;
        private readonly double[] _spent; // running sum of each mic's cost
        private readonly double[][] _entries; // [mic][step mod Shortest]: cost of entering less what was spent till then
        private readonly byte[][] _moves; // [mic][step of the mic]
        private readonly short[][] _from; // [mic][step of the mic]: the mic it was entered from

        public Run(MicCosts[] mics, float[] prices, int first, int end)
        {
            (_mics, _prices, _first, _end) = (mics, prices, first, end);
            _any = Filled(Never);
            _mature = Filled(Never);
            _spent = Filled(0);
            _entries = [.. mics.Select(_ => new double[Shortest])];
            _moves = [.. mics.Select(mic => new byte[mic.Cost.Length])];
            _from = [.. mics.Select(mic => new short[mic.Cost.Length])];

            double[] Filled(double value)
            {
                var array = new double[mics.Length];
                Array.Fill(array, value);
                return array;
            }
        }

        public void Trace(int[] path)
        {
            int[] active = [.. Enumerable.Range(0, _mics.Length).Where(m => _mics[m].First < _end && _mics[m].End > _first)];
            for (int step = _first; step < _end; step++)
            {
                Advance(active, step);
            }

            Follow(path, active);
        }

        private void Advance(int[] active, int step)
        {
            Source one = default, two = default;
            one.Cost = two.Cost = Never;
            foreach (int mic in active)
            {
                Offer(new Source(mic, _mature[mic], Young: false), ref one, ref two);
                if (MustLeave(mic, step))
                {
                    Offer(new Source(mic, _any[mic], Young: true), ref one, ref two);
                }
            }

            foreach (int mic in active)
            {
                MicCosts costs = _mics[mic];
                if (step < costs.First || step >= costs.End)
                {
                    _any[mic] = _mature[mic] = Never;
                    continue;
                }

                Move(mic, step, one.Mic == mic ? two : one);
            }
        }

        private void Move(int mic, int step, Source source)
        {
            int at = step - _mics[mic].First;
            double cost = _mics[mic].Cost[at];
            byte move = 0;
            if (step == _first)
            {
                // Nothing came before, so nothing is cut short.
                _any[mic] = _mature[mic] = 0;
                _entries[mic][step % Shortest] = Never;
            }
            else
            {
                double entry = source.Cost + _prices[step];
                _from[mic][at] = (short)source.Mic;
                move |= source.Young ? FromYoung : (byte)0;
                if (entry < _any[mic])
                {
                    _any[mic] = entry;
                    move |= Entered;
                }

                double ripe = at >= Shortest ? _entries[mic][step % Shortest] + _spent[mic] : Never;
                _entries[mic][step % Shortest] = entry - _spent[mic];
                if (ripe < _mature[mic])
                {
                    _mature[mic] = ripe;
                    move |= JustMatured;
                }
            }

            _moves[mic][at] = move;
            _any[mic] += cost;
            _mature[mic] += cost;
            _spent[mic] += cost;
        }

        private void Follow(int[] path, int[] active)
        {
            (int mic, bool young) = Last(active);
            int step = _end - 1;
            while (step >= _first)
            {
                int at = step - _mics[mic].First;
                byte move = _moves[mic][at];
                path[step] = mic;
                if (young ? (move & Entered) != 0 : (move & JustMatured) != 0)
                {
                    int entry = young ? step : step - Shortest;
                    Array.Fill(path, mic, entry, step - entry);
                    int entryAt = entry - _mics[mic].First;
                    young = (_moves[mic][entryAt] & FromYoung) != 0;
                    mic = _from[mic][entryAt];
                    step = entry;
                }

                step--;
            }
        }

        private (int Mic, bool Young) Last(int[] active)
        {
            Source one = default, two = default;
            one.Cost = two.Cost = Never;
            foreach (int mic in active)
            {
                Offer(new Source(mic, _mature[mic], Young: false), ref one, ref two);
                if (_mics[mic].End == _end && _end < _prices.Length)
                {
                    Offer(new Source(mic, _any[mic], Young: true), ref one, ref two);
                }
            }

            bool noneMayEnd = double.IsInfinity(one.Cost);
            foreach (int mic in noneMayEnd ? active : [])
            {
                Offer(new Source(mic, _any[mic], Young: true), ref one, ref two);
            }

            return (one.Mic, one.Young);
        }

        private bool MustLeave(int mic, int step)
        {
            MicCosts costs = _mics[mic];
            return step >= costs.End || (step >= costs.First && costs.MayLeave[step - costs.First]);
        }

        /// <summary>Keeps the cheapest source and the cheapest of another mic.</summary>
        private static void Offer(Source offer, ref Source one, ref Source two)
        {
            if (offer.Cost < one.Cost)
            {
                two = one.Mic == offer.Mic ? two : one;
                one = offer;
            }
            else if (offer.Mic != one.Mic && offer.Cost < two.Cost)
            {
                two = offer;
            }
        }

        private record struct Source(int Mic, double Cost, bool Young);
    }
}
