using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace SyncBench.Signal.Vectors;

/// <summary>Eight floats: AVX2 with FMA.</summary>
internal readonly unsafe struct Lanes8 : ILanes<Lanes8>
{
    private readonly Vector256<float> _value;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private Lanes8(Vector256<float> value) => _value = value;

    public static bool IsSupported => Avx2.IsSupported && Fma.IsSupported;

    public static int Count => 8;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 operator +(Lanes8 left, Lanes8 right) => new(left._value + right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 operator -(Lanes8 left, Lanes8 right) => new(left._value - right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 operator *(Lanes8 left, Lanes8 right) => new(left._value * right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 Load(float* source) => new(Vector256.Load(source));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 Broadcast(float value) => new(Vector256.Create(value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(Lanes8 value, float* target) => value._value.Store(target);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 MultiplyAdd(Lanes8 left, Lanes8 right, Lanes8 addend) =>
        new(Fma.MultiplyAdd(left._value, right._value, addend._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 MultiplySubtract(Lanes8 left, Lanes8 right, Lanes8 minuend) =>
        new(Fma.MultiplyAddNegated(left._value, right._value, minuend._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static float Sum(Lanes8 value) => Vector256.Sum(value._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 Reverse(Lanes8 value) =>
        new(Avx2.PermuteVar8x32(value._value, Vector256.Create(7, 6, 5, 4, 3, 2, 1, 0)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void LoadPairs(float* source, out Lanes8 even, out Lanes8 odd)
    {
        Vector256<float> first = Vector256.Load(source), second = Vector256.Load(source + 8);
        even = new(InOrder(Avx.Shuffle(first, second, 0x88)));
        odd = new(InOrder(Avx.Shuffle(first, second, 0xDD)));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void StorePairs(Lanes8 even, Lanes8 odd, float* target)
    {
        Vector256<float> low = Avx.UnpackLow(even._value, odd._value);
        Vector256<float> high = Avx.UnpackHigh(even._value, odd._value);
        Avx.Permute2x128(low, high, 0x20).Store(target);
        Avx.Permute2x128(low, high, 0x31).Store(target + 8);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Transpose(float* source, nint sourceStride, float* target, nint targetStride)
    {
        for (int column = 0; column < 8; column += 4)
        {
            float* quad = source + column;
            Vector256<float> a = EveryFourth(quad, sourceStride);
            Vector256<float> b = EveryFourth(quad + sourceStride, sourceStride);
            Vector256<float> c = EveryFourth(quad + (2 * sourceStride), sourceStride);
            Vector256<float> d = EveryFourth(quad + (3 * sourceStride), sourceStride);
            Vector256<float> abLow = Avx.UnpackLow(a, b), abHigh = Avx.UnpackHigh(a, b);
            Vector256<float> cdLow = Avx.UnpackLow(c, d), cdHigh = Avx.UnpackHigh(c, d);
            float* row = target + (column * targetStride);
            Avx.Shuffle(abLow, cdLow, 0x44).Store(row);
            Avx.Shuffle(abLow, cdLow, 0xEE).Store(row + targetStride);
            Avx.Shuffle(abHigh, cdHigh, 0x44).Store(row + (2 * targetStride));
            Avx.Shuffle(abHigh, cdHigh, 0xEE).Store(row + (3 * targetStride));
        }
    }

    /// <summary>Four floats from each of rows 0 and 4.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<float> EveryFourth(float* quad, nint stride) =>
        Vector256.Create(Vector128.Load(quad), Vector128.Load(quad + (4 * stride)));

    /// <summary>AVX shuffles each half by itself; this puts pairs 0 2 1 3 back in order.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<float> InOrder(Vector256<float> value) =>
        Avx2.Permute4x64(value.AsDouble(), 0xD8).AsSingle();
}
