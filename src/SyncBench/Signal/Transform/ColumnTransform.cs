using System.Numerics;
using System.Runtime.CompilerServices;
using SyncBench.Signal.Vectors;

namespace SyncBench.Signal.Transform;

/// <summary>
/// The complex discrete Fourier transform down a column of rows, one independent transform in each lane of the
/// register: no lane ever meets another, so nothing is shuffled.
/// </summary>
/// <remarks>
/// Stockham's self-sorting scheme, decimation in frequency (Van Loan, Computational Frameworks for the Fast Fourier
/// Transform, SIAM 1992, section 1.7). A pass of radix r takes n-point transforms that lie s rows apart and writes
/// y[q + s(rp + k)] = w_n^(pk) · Σ_j w_r^(jk) · x[q + s(p + j·n/r)], p &lt; n/r, q &lt; s, w_n = e^(−2πi/n).
/// The passes skip the slow first tier of compilation: a run may be over before they would be compiled anew.
/// </remarks>
internal sealed unsafe class ColumnTransform<TLanes>
    where TLanes : struct, ILanes<TLanes>
{
    private readonly int[] _radices;
    private readonly float[][] _twiddles; // [pass][p][k − 1][re, im]; empty for the last pass, all ones

    /// <param name="length">Rows: a power of two, at least 2.</param>
    public ColumnTransform(int length)
    {
        Length = length;
        _radices = Radices(BitOperations.Log2((uint)length));
        _twiddles = new float[_radices.Length][];
        int n = length;
        for (int pass = 0; pass < _radices.Length; n /= _radices[pass], pass++)
        {
            _twiddles[pass] = n == _radices[pass] ? [] : Twiddles(n, _radices[pass]);
        }
    }

    public int Length { get; }

    /// <param name="first">Room for <see cref="Length"/> rows, real and imaginary.</param>
    /// <param name="second">The same, elsewhere.</param>
    /// <remarks>Source and target may be the same rows: the last row is read before the first is written.</remarks>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Run<TSource, TTarget>(
        TSource source, TTarget target, PackedRows<TLanes> first, PackedRows<TLanes> second)
        where TSource : struct, IRowSource<TLanes>
        where TTarget : struct, IRowTarget<TLanes>
    {
        int last = _radices.Length - 1;
        if (last == 0)
        {
            Pass(0, source, target, Length, 1);
            return;
        }

        nint n = Length, s = 1;
        Pass(0, source, first, n, s);
        for (int pass = 1; pass < last; pass++)
        {
            n /= _radices[pass - 1];
            s *= _radices[pass - 1];
            Pass(pass, first, second, n, s);
            (first, second) = (second, first);
        }

        Pass(last, first, target, _radices[last], Length / _radices[last]);
    }

    private static int[] Radices(int log2)
    {
        var radices = new List<int>();
        for (; log2 > 0 && log2 % 2 != 0; log2 -= Math.Min(log2, 3))
        {
            radices.Add(log2 == 1 ? 2 : 8);
        }

        for (; log2 > 0; log2 -= 2)
        {
            radices.Add(4);
        }

        return [.. radices];
    }

    private static float[] Twiddles(int n, int radix)
    {
        var factors = new float[n / radix * (radix - 1) * 2];
        int at = 0;
        for (int p = 0; p < n / radix; p++)
        {
            for (int k = 1; k < radix; k++)
            {
                (factors[at], factors[at + 1]) = UnitRoot.At((long)p * k, n);
                at += 2;
            }
        }

        return factors;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Pass<TSource, TTarget>(int pass, TSource source, TTarget target, nint n, nint s)
        where TSource : struct, IRowSource<TLanes>
        where TTarget : struct, IRowTarget<TLanes>
    {
        fixed (float* twiddles = _twiddles[pass])
        {
            switch (_radices[pass])
            {
                case 8:
                    Radix8(source, target, n, s, twiddles);
                    break;
                case 4:
                    Radix4(source, target, n, s, twiddles);
                    break;
                default:
                    Radix2Last(source, target, s);
                    break;
            }
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Radix2Last<TSource, TTarget>(TSource source, TTarget target, nint s)
        where TSource : struct, IRowSource<TLanes>
        where TTarget : struct, IRowTarget<TLanes>
    {
        for (nint q = 0; q < s; q++)
        {
            source.Load(q, out TLanes ar, out TLanes ai);
            source.Load(q + s, out TLanes br, out TLanes bi);
            target.Store(q, ar + br, ai + bi);
            target.Store(q + s, ar - br, ai - bi);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Radix4<TSource, TTarget>(TSource source, TTarget target, nint n, nint s, float* w)
        where TSource : struct, IRowSource<TLanes>
        where TTarget : struct, IRowTarget<TLanes>
    {
        nint step = s * (n / 4);
        if (w == null)
        {
            for (nint q = 0; q < s; q++)
            {
                source.Load(q, out TLanes ar, out TLanes ai);
                source.Load(q + step, out TLanes br, out TLanes bi);
                source.Load(q + (2 * step), out TLanes cr, out TLanes ci);
                source.Load(q + (3 * step), out TLanes dr, out TLanes di);
                TLanes acr = ar + cr, aci = ai + ci, amr = ar - cr, ami = ai - ci;
                TLanes bdr = br + dr, bdi = bi + di, bmr = br - dr, bmi = bi - di;
                target.Store(q, acr + bdr, aci + bdi);
                target.Store(q + s, amr + bmi, ami - bmr);
                target.Store(q + (2 * s), acr - bdr, aci - bdi);
                target.Store(q + (3 * s), amr - bmi, ami + bmr);
            }

            return;
        }

        for (nint p = 0; p < n / 4; p++, w += 6)
        {
            TLanes w1r = TLanes.Broadcast(w[0]), w1i = TLanes.Broadcast(w[1]);
            TLanes w2r = TLanes.Broadcast(w[2]), w2i = TLanes.Broadcast(w[3]);
            TLanes w3r = TLanes.Broadcast(w[4]), w3i = TLanes.Broadcast(w[5]);
            for (nint q = 0; q < s; q++)
            {
                nint from = q + (s * p), to = q + (s * 4 * p);
                source.Load(from, out TLanes ar, out TLanes ai);
                source.Load(from + step, out TLanes br, out TLanes bi);
                source.Load(from + (2 * step), out TLanes cr, out TLanes ci);
                source.Load(from + (3 * step), out TLanes dr, out TLanes di);
                TLanes acr = ar + cr, aci = ai + ci, amr = ar - cr, ami = ai - ci;
                TLanes bdr = br + dr, bdi = bi + di, bmr = br - dr, bmi = bi - di;
                target.Store(to, acr + bdr, aci + bdi);
                TLanes yr = amr + bmi, yi = ami - bmr;
                target.Store(to + s, TLanes.MultiplySubtract(yi, w1i, yr * w1r), TLanes.MultiplyAdd(yi, w1r, yr * w1i));
                yr = acr - bdr;
                yi = aci - bdi;
                target.Store(
                    to + (2 * s), TLanes.MultiplySubtract(yi, w2i, yr * w2r), TLanes.MultiplyAdd(yi, w2r, yr * w2i));
                yr = amr - bmi;
                yi = ami + bmr;
                target.Store(
                    to + (3 * s), TLanes.MultiplySubtract(yi, w3i, yr * w3r), TLanes.MultiplyAdd(yi, w3r, yr * w3i));
            }
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Radix8<TSource, TTarget>(TSource source, TTarget target, nint n, nint s, float* w)
        where TSource : struct, IRowSource<TLanes>
        where TTarget : struct, IRowTarget<TLanes>
    {
        nint step = s * (n / 8);
        TLanes root = TLanes.Broadcast(float.Sqrt(0.5f));
        for (nint p = 0; p < n / 8; p++)
        {
            for (nint q = 0; q < s; q++)
            {
                nint from = q + (s * p), to = q + (s * 8 * p);
                source.Load(from, out TLanes ar, out TLanes ai);
                source.Load(from + (2 * step), out TLanes br, out TLanes bi);
                source.Load(from + (4 * step), out TLanes cr, out TLanes ci);
                source.Load(from + (6 * step), out TLanes dr, out TLanes di);
                TLanes acr = ar + cr, aci = ai + ci, amr = ar - cr, ami = ai - ci;
                TLanes bdr = br + dr, bdi = bi + di, bmr = br - dr, bmi = bi - di;
                TLanes e0r = acr + bdr, e0i = aci + bdi, e2r = acr - bdr, e2i = aci - bdi;
                TLanes e1r = amr + bmi, e1i = ami - bmr, e3r = amr - bmi, e3i = ami + bmr;

                source.Load(from + step, out ar, out ai);
                source.Load(from + (3 * step), out br, out bi);
                source.Load(from + (5 * step), out cr, out ci);
                source.Load(from + (7 * step), out dr, out di);
                acr = ar + cr;
                aci = ai + ci;
                amr = ar - cr;
                ami = ai - ci;
                bdr = br + dr;
                bdi = bi + di;
                bmr = br - dr;
                bmi = bi - di;
                TLanes o0r = acr + bdr, o0i = aci + bdi, o2r = aci - bdi, o2i = bdr - acr; // o2 times −i
                TLanes tr = amr + bmi, ti = ami - bmr;
                TLanes o1r = (tr + ti) * root, o1i = (ti - tr) * root; // times (1 − i)/√2
                tr = amr - bmi;
                ti = ami + bmr;
                TLanes o3r = (ti - tr) * root, o3i = TLanes.Broadcast(0) - ((tr + ti) * root); // times (−1 − i)/√2

                target.Store(to, e0r + o0r, e0i + o0i);
                StoreTurned(target, to + s, e1r + o1r, e1i + o1i, w, 0);
                StoreTurned(target, to + (2 * s), e2r + o2r, e2i + o2i, w, 2);
                StoreTurned(target, to + (3 * s), e3r + o3r, e3i + o3i, w, 4);
                StoreTurned(target, to + (4 * s), e0r - o0r, e0i - o0i, w, 6);
                StoreTurned(target, to + (5 * s), e1r - o1r, e1i - o1i, w, 8);
                StoreTurned(target, to + (6 * s), e2r - o2r, e2i - o2i, w, 10);
                StoreTurned(target, to + (7 * s), e3r - o3r, e3i - o3i, w, 12);
            }

            w += w == null ? 0 : 14;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void StoreTurned<TTarget>(TTarget target, nint row, TLanes re, TLanes im, float* w, nint at)
        where TTarget : struct, IRowTarget<TLanes>
    {
        if (w == null)
        {
            target.Store(row, re, im);
            return;
        }

        TLanes wr = TLanes.Broadcast(w[at]), wi = TLanes.Broadcast(w[at + 1]);
        target.Store(row, TLanes.MultiplySubtract(im, wi, re * wr), TLanes.MultiplyAdd(im, wr, re * wi));
    }
}
