using System.Runtime.CompilerServices;
using SyncBench.Signal.Vectors;

namespace SyncBench.Signal.Transform;

/// <summary>Where a pass reads: rows of one register of complex numbers each.</summary>
internal interface IRowSource<TLanes>
    where TLanes : struct, ILanes<TLanes>
{
    void Load(nint row, out TLanes re, out TLanes im);
}

/// <summary>Where a pass writes: rows of one register of complex numbers each.</summary>
internal interface IRowTarget<TLanes>
    where TLanes : struct, ILanes<TLanes>
{
    void Store(nint row, TLanes re, TLanes im);
}

/// <summary>Real and imaginary parts in arrays of their own.</summary>
/// <param name="stride">Floats from row to row.</param>
internal readonly unsafe struct SplitRows<TLanes>(float* re, float* im, nint stride)
    : IRowSource<TLanes>, IRowTarget<TLanes>
    where TLanes : struct, ILanes<TLanes>
{
    private readonly float* _re = re, _im = im;
    private readonly nint _stride = stride;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Load(nint row, out TLanes re, out TLanes im)
    {
        nint at = row * _stride;
        re = TLanes.Load(_re + at);
        im = TLanes.Load(_im + at);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Store(nint row, TLanes re, TLanes im)
    {
        nint at = row * _stride;
        TLanes.Store(re, _re + at);
        TLanes.Store(im, _im + at);
    }
}

/// <summary>Split rows without gaps between them: the passes' own buffers.</summary>
internal readonly unsafe struct PackedRows<TLanes>(float* re, float* im) : IRowSource<TLanes>, IRowTarget<TLanes>
    where TLanes : struct, ILanes<TLanes>
{
    private readonly float* _re = re, _im = im;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Load(nint row, out TLanes re, out TLanes im)
    {
        nint at = row * TLanes.Count;
        re = TLanes.Load(_re + at);
        im = TLanes.Load(_im + at);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Store(nint row, TLanes re, TLanes im)
    {
        nint at = row * TLanes.Count;
        TLanes.Store(re, _re + at);
        TLanes.Store(im, _im + at);
    }
}

/// <summary>Real samples taken two by two as complex numbers: even index real, odd index imaginary.</summary>
/// <param name="stride">Floats from row to row.</param>
internal readonly unsafe struct SampleRows<TLanes>(float* samples, nint stride) : IRowSource<TLanes>
    where TLanes : struct, ILanes<TLanes>
{
    private readonly float* _samples = samples;
    private readonly nint _stride = stride;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Load(nint row, out TLanes re, out TLanes im) =>
        TLanes.LoadPairs(_samples + (row * _stride), out re, out im);
}

/// <summary>
/// Samples as in <see cref="SampleRows{TLanes}"/> with real and imaginary part exchanged, which turns a forward
/// transform into an inverse one: IDFT(z) = swap(DFT(swap(z))) up to scale.
/// </summary>
/// <param name="stride">Floats from row to row.</param>
internal readonly unsafe struct SwappedSampleRows<TLanes>(float* samples, nint stride) : IRowTarget<TLanes>
    where TLanes : struct, ILanes<TLanes>
{
    private readonly float* _samples = samples;
    private readonly nint _stride = stride;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Store(nint row, TLanes re, TLanes im) =>
        TLanes.StorePairs(im, re, _samples + (row * _stride));
}

/// <summary>
/// Rows on their way between the two halves of the transform: row k, column c is multiplied by
/// e^(−2πi·k·c/M) = lane factor [k][c − first] × block factor [k] of the block that begins at column first.
/// </summary>
/// <param name="stride">Floats from row to row.</param>
/// <param name="laneFactors">For each row one register of real and one of imaginary parts.</param>
/// <param name="blockFactors">For each row one real and one imaginary part; null for the first block, all ones.</param>
internal readonly unsafe struct TwiddledRows<TLanes>(
    float* re, float* im, nint stride, float* laneFactors, float* blockFactors) : IRowTarget<TLanes>
    where TLanes : struct, ILanes<TLanes>
{
    private readonly float* _re = re, _im = im;
    private readonly nint _stride = stride;
    private readonly float* _laneFactors = laneFactors, _blockFactors = blockFactors;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Store(nint row, TLanes re, TLanes im)
    {
        float* lane = _laneFactors + (row * 2 * TLanes.Count);
        TLanes wr = TLanes.Load(lane), wi = TLanes.Load(lane + TLanes.Count);
        if (_blockFactors != null)
        {
            TLanes br = TLanes.Broadcast(_blockFactors[2 * row]), bi = TLanes.Broadcast(_blockFactors[(2 * row) + 1]);
            (wr, wi) = (TLanes.MultiplySubtract(wi, bi, wr * br), TLanes.MultiplyAdd(wr, bi, wi * br));
        }

        nint at = row * _stride;
        TLanes.Store(TLanes.MultiplySubtract(im, wi, re * wr), _re + at);
        TLanes.Store(TLanes.MultiplyAdd(im, wr, re * wi), _im + at);
    }
}
