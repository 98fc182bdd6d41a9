using SyncBench.Alignment;

namespace SyncBench.Selection.Speakers;

/// <summary>What a lavalier and a mic far from its wearer hear together, hop by hop and band by band.</summary>
/// <remarks>
/// Coded in half decibels. A level below the noise is taken to be the noise, so a difference says nothing that is not
/// heard.
/// </remarks>
internal sealed class PairLevels
{
    /// <summary>Steps of the grid in a hop of 50 ms.</summary>
    public const int StepsInHop = 5;

    private readonly TakeGrid _grid;
    private readonly byte[] _close;
    private readonly byte[] _far;
    private readonly short[] _difference;

    /// <summary>Room for one pair at a time: 6 MB an hour, so it is used again.</summary>
    public PairLevels(TakeGrid grid)
    {
        _grid = grid;
        int hops = HopsOf(grid);
        Valid = new bool[hops];
        _close = new byte[hops * BandLevels.Bands];
        _far = new byte[hops * BandLevels.Bands];
        _difference = new short[hops * BandLevels.Bands];
    }

    /// <summary>Whether both mics roll without a fault, hop by hop.</summary>
    public bool[] Valid { get; }

    public int Hops => Valid.Length;

    public static int HopsOf(TakeGrid grid) => (grid.Steps + StepsInHop - 1) / StepsInHop;

    /// <returns>This, with the levels of another pair.</returns>
    public PairLevels Of(MicLine close, MicLine far)
    {
        Array.Clear(Valid);
        Span<float> heardClose = stackalloc float[BandLevels.Bands], heardFar = stackalloc float[BandLevels.Bands];
        for (int hop = 0; hop < Hops; hop++)
        {
            heardClose.Clear();
            heardFar.Clear();
            int steps = 0;
            MicTrack? left = null, right = null;
            int end = Math.Min(_grid.Steps, (hop + 1) * StepsInHop);
            for (int step = hop * StepsInHop; step < end; step++)
            {
                if (close.FitAt(step) is { } near && far.FitAt(step) is { } away)
                {
                    (left, right) = (near, away);
                    Add(near.Levels(step), heardClose);
                    Add(away.Levels(step), heardFar);
                    steps++;
                }
            }

            if (steps * 2 > StepsInHop)
            {
                int middle = Math.Clamp((hop * StepsInHop) + (StepsInHop / 2), Math.Max(left!.First, right!.First), Math.Min(left.End, right.End) - 1);
                Set(hop, steps, heardClose, left.Noise(middle), heardFar, right.Noise(middle));
            }
        }

        return this;
    }

    /// <summary>How far each band stands above the lavalier's noise, at most 127 dB.</summary>
    public ReadOnlySpan<byte> Close(int hop) => _close.AsSpan(hop * BandLevels.Bands, BandLevels.Bands);

    /// <summary>How far each band stands above the far mic's noise.</summary>
    public ReadOnlySpan<byte> Far(int hop) => _far.AsSpan(hop * BandLevels.Bands, BandLevels.Bands);

    /// <summary>Level at the lavalier less that at the far mic.</summary>
    public ReadOnlySpan<short> Difference(int hop) => _difference.AsSpan(hop * BandLevels.Bands, BandLevels.Bands);

    private static void Add(ReadOnlySpan<byte> levels, Span<float> powers)
    {
        for (int band = 0; band < levels.Length; band++)
        {
            powers[band] += SpeechBands.Power(levels[band]);
        }
    }

    private void Set(
        int hop, int steps, ReadOnlySpan<float> close, ReadOnlySpan<byte> closeNoise, ReadOnlySpan<float> far, ReadOnlySpan<byte> farNoise)
    {
        Valid[hop] = true;
        for (int band = 0; band < BandLevels.Bands; band++)
        {
            int left = Math.Max(BandLevels.FromDb(10 * MathF.Log10((close[band] / steps) + 1e-13f)), closeNoise[band]);
            int right = Math.Max(BandLevels.FromDb(10 * MathF.Log10((far[band] / steps) + 1e-13f)), farNoise[band]);
            int at = (hop * BandLevels.Bands) + band;
            _close[at] = (byte)(left - closeNoise[band]);
            _far[at] = (byte)(right - farNoise[band]);
            _difference[at] = (short)(left - right);
        }
    }
}
