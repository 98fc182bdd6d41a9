using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace SyncBench.Signal.Vectors;

/// <summary>Four floats: the width that every 64-bit processor has.</summary>
internal readonly unsafe struct Lanes4 : ILanes<Lanes4>
{
    private readonly Vector128<float> _value;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private Lanes4(Vector128<float> value) => _value = value;

    public static int Count => 4;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 operator +(Lanes4 left, Lanes4 right) => new(left._value + right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 operator -(Lanes4 left, Lanes4 right) => new(left._value - right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 operator *(Lanes4 left, Lanes4 right) => new(left._value * right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 Load(float* source) => new(Vector128.Load(source));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 Broadcast(float value) => new(Vector128.Create(value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(Lanes4 value, float* target) => value._value.Store(target);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 MultiplyAdd(Lanes4 left, Lanes4 right, Lanes4 addend) =>
        new(Vector128.MultiplyAddEstimate(left._value, right._value, addend._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 MultiplySubtract(Lanes4 left, Lanes4 right, Lanes4 minuend) =>
        new(Vector128.MultiplyAddEstimate(-left._value, right._value, minuend._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static float Sum(Lanes4 value) => Vector128.Sum(value._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 Reverse(Lanes4 value) => new(Vector128.Shuffle(value._value, Vector128.Create(3, 2, 1, 0)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void LoadPairs(float* source, out Lanes4 even, out Lanes4 odd)
    {
        even = new(Vector128.Create(source[0], source[2], source[4], source[6]));
        odd = new(Vector128.Create(source[1], source[3], source[5], source[7]));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void StorePairs(Lanes4 even, Lanes4 odd, float* target)
    {
        Vector128.Create(even._value[0], odd._value[0], even._value[1], odd._value[1]).Store(target);
        Vector128.Create(even._value[2], odd._value[2], even._value[3], odd._value[3]).Store(target + 4);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Transpose(float* source, nint sourceStride, float* target, nint targetStride)
    {
        for (int column = 0; column < 4; column++)
        {
            float* row = source + column;
            Vector128.Create(*row, row[sourceStride], row[2 * sourceStride], row[3 * sourceStride])
                .Store(target + (column * targetStride));
        }
    }
}
