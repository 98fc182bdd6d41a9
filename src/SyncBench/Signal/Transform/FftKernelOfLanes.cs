using System.Numerics;
using System.Runtime.CompilerServices;
using SyncBench.Signal.Vectors;

namespace SyncBench.Signal.Transform;

/// <summary>The real transform for registers of one width.</summary>
/// <remarks>
/// <para>
/// N real samples are taken as M = N/2 complex numbers, transformed, and parted into the spectra of the even and the
/// odd samples by symmetry (Press et al., Numerical Recipes, 3rd ed., section 12.3).
/// </para>
/// <para>
/// The complex transform is the four-step method (Bailey, FFTs in external or hierarchical memory, J. Supercomputing
/// 4, 1990): M = A·B is seen as A rows of B columns; transform the columns, multiply element (k, c) by
/// e^(−2πi·kc/M), transform the rows, read the result transposed. A register's width of columns, and then of rows, is
/// taken at a time, so both halves are <see cref="ColumnTransform{TLanes}"/>s that live in the nearest cache, and
/// memory is passed over twice whatever the size.
/// </para>
/// </remarks>
internal sealed unsafe class FftKernelOfLanes<TLanes> : FftKernel
    where TLanes : struct, ILanes<TLanes>
{
    private readonly int _half; // M
    private readonly int _rows; // A
    private readonly int _columns; // B
    private readonly ColumnTransform<TLanes> _downColumns, _alongRows;
    private readonly float[] _laneFactors; // [row][re, im][lane]
    private readonly float[] _blockFactors; // [block of columns][row][re, im]
    private readonly float[] _halfRootsRe, _halfRootsIm; // [k] = e^(−2πi·k/N) / 2, k < M/2

    /// <exception cref="ArgumentOutOfRangeException">
    /// Half the size is smaller than the square of the register's width.
    /// </exception>
    public FftKernelOfLanes(int size)
    {
        int width = TLanes.Count;
        ArgumentOutOfRangeException.ThrowIfLessThan(size, 2 * width * width);
        _half = size / 2;
        _columns = 1 << (BitOperations.Log2((uint)_half) / 2);
        _rows = _half / _columns;
        _downColumns = new ColumnTransform<TLanes>(_rows);
        _alongRows = _rows == _columns ? _downColumns : new ColumnTransform<TLanes>(_columns);

        _laneFactors = new float[2 * _rows * width];
        _blockFactors = new float[2 * _rows * (_columns / width)];
        for (int row = 0; row < _rows; row++)
        {
            for (int lane = 0; lane < width; lane++)
            {
                int at = (2 * row * width) + lane;
                (_laneFactors[at], _laneFactors[at + width]) = UnitRoot.At((long)row * lane, _half);
            }

            for (int block = 0; block < _columns / width; block++)
            {
                int at = 2 * ((block * _rows) + row);
                (_blockFactors[at], _blockFactors[at + 1]) = UnitRoot.At((long)row * block * width, _half);
            }
        }

        _halfRootsRe = new float[_half / 2];
        _halfRootsIm = new float[_half / 2];
        for (int k = 0; k < _half / 2; k++)
        {
            (float re, float im) = UnitRoot.At(k, size);
            (_halfRootsRe[k], _halfRootsIm[k]) = (re / 2, im / 2); // exact: a power of two
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public override void Forward(float* samples, float* re, float* im)
    {
        Scratch scratch = RentScratch();
        for (int column = 0; column < _columns; column += TLanes.Count)
        {
            TransformColumns(
                new SampleRows<TLanes>(samples + (2 * column), 2 * _columns), column, scratch);
        }

        for (int row = 0; row < _rows; row += TLanes.Count)
        {
            TransformRows(row, new SplitRows<TLanes>(re + row, im + row, _rows), scratch);
        }

        PartEvenFromOdd(re, im);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public override void Inverse(float* re, float* im, float* samples)
    {
        Scratch scratch = RentScratch();
        JoinEvenAndOdd(re, im, scratch.WorkIm, scratch.WorkRe); // exchanged: see SwappedSampleRows
        for (int column = 0; column < _columns; column += TLanes.Count)
        {
            TransformColumns(
                new SplitRows<TLanes>(scratch.WorkRe + column, scratch.WorkIm + column, _columns), column, scratch);
        }

        for (int row = 0; row < _rows; row += TLanes.Count)
        {
            TransformRows(row, new SwappedSampleRows<TLanes>(samples + (2 * row), 2 * _rows), scratch);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void TransformColumns<TSource>(TSource source, int column, in Scratch scratch)
        where TSource : struct, IRowSource<TLanes>
    {
        fixed (float* laneFactors = _laneFactors, blockFactors = _blockFactors)
        {
            float* ofBlock = column == 0 ? null : blockFactors + (2 * _rows * (column / TLanes.Count));
            _downColumns.Run(
                source,
                new TwiddledRows<TLanes>(
                    scratch.WorkRe + column, scratch.WorkIm + column, _columns, laneFactors, ofBlock),
                scratch.First,
                scratch.Second);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void TransformRows<TTarget>(int row, TTarget target, in Scratch scratch)
        where TTarget : struct, IRowTarget<TLanes>
    {
        int width = TLanes.Count;
        float* sourceRe = scratch.WorkRe + ((nint)row * _columns), sourceIm = scratch.WorkIm + ((nint)row * _columns);
        for (int column = 0; column < _columns; column += width)
        {
            TLanes.Transpose(sourceRe + column, _columns, scratch.TurnedRe + (column * width), width);
            TLanes.Transpose(sourceIm + column, _columns, scratch.TurnedIm + (column * width), width);
        }

        _alongRows.Run(
            new PackedRows<TLanes>(scratch.TurnedRe, scratch.TurnedIm), target, scratch.First, scratch.Second);
    }

    /// <summary>
    /// From Z, the transform of even + i·odd samples, to X of all samples, in place: E = (Z[k] + Z*[M−k])/2,
    /// O = −i(Z[k] − Z*[M−k])/2, X[k] = E + w^k·O, X[M−k] = (E − w^k·O)*, with Z[M] = Z[0].
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void PartEvenFromOdd(float* re, float* im)
    {
        re[_half] = re[0];
        im[_half] = im[0];
        TLanes half = TLanes.Broadcast(0.5f);
        fixed (float* rootsRe = _halfRootsRe, rootsIm = _halfRootsIm)
        {
            for (int k = 0; k < _half / 2; k += TLanes.Count)
            {
                int mirror = _half - k - (TLanes.Count - 1);
                TLanes ar = TLanes.Load(re + k), ai = TLanes.Load(im + k);
                TLanes br = TLanes.Reverse(TLanes.Load(re + mirror)), bi = TLanes.Reverse(TLanes.Load(im + mirror));
                TLanes wr = TLanes.Load(rootsRe + k), wi = TLanes.Load(rootsIm + k);
                TLanes er = (ar + br) * half, ei = (ai - bi) * half;
                TLanes dr = ar - br, di = ai + bi;
                TLanes tr = TLanes.MultiplyAdd(wi, dr, wr * di), ti = TLanes.MultiplySubtract(wr, dr, wi * di);
                TLanes.Store(er + tr, re + k);
                TLanes.Store(ei + ti, im + k);
                TLanes.Store(TLanes.Reverse(er - tr), re + mirror);
                TLanes.Store(TLanes.Reverse(ti - ei), im + mirror);
            }
        }

        im[_half / 2] = -im[_half / 2];
        im[0] = 0;
        im[_half] = 0;
    }

    /// <summary>Undoes <see cref="PartEvenFromOdd"/>, scaled by 1/M: Z[k] = E + iO, Z[M−k] = E* + iO*.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void JoinEvenAndOdd(float* re, float* im, float* joinedRe, float* joinedIm)
    {
        float scaleOnce = 1f / _half;
        TLanes scale = TLanes.Broadcast(scaleOnce), scaleHalf = TLanes.Broadcast(scaleOnce / 2);
        fixed (float* rootsRe = _halfRootsRe, rootsIm = _halfRootsIm)
        {
            for (int k = 0; k < _half / 2; k += TLanes.Count)
            {
                int mirror = _half - k - (TLanes.Count - 1);
                TLanes ar = TLanes.Load(re + k), ai = TLanes.Load(im + k);
                TLanes br = TLanes.Reverse(TLanes.Load(re + mirror)), bi = TLanes.Reverse(TLanes.Load(im + mirror));
                TLanes wr = TLanes.Load(rootsRe + k) * scale, wi = TLanes.Load(rootsIm + k) * scale;
                TLanes er = (ar + br) * scaleHalf, ei = (ai - bi) * scaleHalf;
                TLanes dr = ar - br, di = ai + bi;
                // O = d·w*, with w halved in the table.
                TLanes or = TLanes.MultiplyAdd(di, wi, dr * wr), oi = TLanes.MultiplySubtract(dr, wi, di * wr);
                TLanes.Store(er - oi, joinedRe + k);
                TLanes.Store(ei + or, joinedIm + k);
                TLanes.Store(TLanes.Reverse(er + oi), joinedRe + mirror);
                TLanes.Store(TLanes.Reverse(or - ei), joinedIm + mirror);
            }
        }

        joinedRe[0] = (re[0] + re[_half]) * (scaleOnce / 2);
        joinedIm[0] = (re[0] - re[_half]) * (scaleOnce / 2);
        joinedRe[_half / 2] = re[_half / 2] * scaleOnce;
        joinedIm[_half / 2] = -im[_half / 2] * scaleOnce;
    }

    private Scratch RentScratch()
    {
        // One register more than M each: bin M, which JoinEvenAndOdd writes and nobody reads. 16 floats keep
        // every part on a cache line, and off the same address modulo a page.
        int work = _half + 16, buffer = (_rows * TLanes.Count) + 16;
        float* start = FftScratch.Rent((2 * work) + (6 * buffer));
        float* buffers = start + (2 * work);
        return new Scratch
        {
            WorkRe = start,
            WorkIm = start + work,
            TurnedRe = buffers,
            TurnedIm = buffers + buffer,
            First = new PackedRows<TLanes>(buffers + (2 * buffer), buffers + (3 * buffer)),
            Second = new PackedRows<TLanes>(buffers + (4 * buffer), buffers + (5 * buffer)),
        };
    }

    private readonly ref struct Scratch
    {
        /// <summary>[row][column]: what passes from the column to the row transforms.</summary>
        public float* WorkRe { get; init; }

        public float* WorkIm { get; init; }

        /// <summary>[column][row of the block].</summary>
        public float* TurnedRe { get; init; }

        public float* TurnedIm { get; init; }

        public PackedRows<TLanes> First { get; init; }

        public PackedRows<TLanes> Second { get; init; }
    }
}
