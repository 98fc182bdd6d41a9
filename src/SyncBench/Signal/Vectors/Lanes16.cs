using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace SyncBench.Signal.Vectors;

/// <summary>Sixteen floats: AVX-512F.</summary>
internal readonly unsafe struct Lanes16 : ILanes<Lanes16>
{
    private readonly Vector512<float> _value;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private Lanes16(Vector512<float> value) => _value = value;

    public static bool IsSupported => Avx512F.IsSupported;

    public static int Count => 16;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes16 operator +(Lanes16 left, Lanes16 right) => new(left._value + right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes16 operator -(Lanes16 left, Lanes16 right) => new(left._value - right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes16 operator *(Lanes16 left, Lanes16 right) => new(left._value * right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes16 Load(float* source) => new(Vector512.Load(source));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes16 Broadcast(float value) => new(Vector512.Create(value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(Lanes16 value, float* target) => value._value.Store(target);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes16 MultiplyAdd(Lanes16 left, Lanes16 right, Lanes16 addend) =>
        new(Avx512F.FusedMultiplyAdd(left._value, right._value, addend._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes16 MultiplySubtract(Lanes16 left, Lanes16 right, Lanes16 minuend) =>
        new(Avx512F.FusedMultiplyAddNegated(left._value, right._value, minuend._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static float Sum(Lanes16 value) => Vector512.Sum(value._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes16 Reverse(Lanes16 value) => new(Avx512F.PermuteVar16x32(
        value._value, Vector512.Create(15, 14, 13, 12, 11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1, 0)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void LoadPairs(float* source, out Lanes16 even, out Lanes16 odd)
    {
        Vector512<float> first = Vector512.Load(source), second = Vector512.Load(source + 16);
        even = new(Avx512F.PermuteVar16x32x2(
            first, Vector512.Create(0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30), second));
        odd = new(Avx512F.PermuteVar16x32x2(
            first, Vector512.Create(1, 3, 5, 7, 9, 11, 13, 15, 17, 19, 21, 23, 25, 27, 29, 31), second));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void StorePairs(Lanes16 even, Lanes16 odd, float* target)
    {
        Avx512F.PermuteVar16x32x2(even._value,
            Vector512.Create(0, 16, 1, 17, 2, 18, 3, 19, 4, 20, 5, 21, 6, 22, 7, 23), odd._value).Store(target);
        Avx512F.PermuteVar16x32x2(even._value,
            Vector512.Create(8, 24, 9, 25, 10, 26, 11, 27, 12, 28, 13, 29, 14, 30, 15, 31), odd._value)
            .Store(target + 16);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Transpose(float* source, nint sourceStride, float* target, nint targetStride)
    {
        for (int column = 0; column < 16; column += 4)
        {
            float* quad = source + column;
            Vector512<float> a = EveryFourth(quad, sourceStride);
            Vector512<float> b = EveryFourth(quad + sourceStride, sourceStride);
            Vector512<float> c = EveryFourth(quad + (2 * sourceStride), sourceStride);
            Vector512<float> d = EveryFourth(quad + (3 * sourceStride), sourceStride);
            Vector512<float> abLow = Avx512F.UnpackLow(a, b), abHigh = Avx512F.UnpackHigh(a, b);
            Vector512<float> cdLow = Avx512F.UnpackLow(c, d), cdHigh = Avx512F.UnpackHigh(c, d);
            float* row = target + (column * targetStride);
            Avx512F.Shuffle(abLow, cdLow, 0x44).Store(row);
            Avx512F.Shuffle(abLow, cdLow, 0xEE).Store(row + targetStride);
            Avx512F.Shuffle(abHigh, cdHigh, 0x44).Store(row + (2 * targetStride));
            Avx512F.Shuffle(abHigh, cdHigh, 0xEE).Store(row + (3 * targetStride));
        }
    }

    /// <summary>Four floats from each of rows 0, 4, 8 and 12.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector512<float> EveryFourth(float* quad, nint stride) => Vector512.Create(
        Vector256.Create(Vector128.Load(quad), Vector128.Load(quad + (4 * stride))),
        Vector256.Create(Vector128.Load(quad + (8 * stride)), Vector128.Load(quad + (12 * stride))));
}
