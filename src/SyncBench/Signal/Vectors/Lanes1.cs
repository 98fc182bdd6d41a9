using System.Runtime.CompilerServices;

namespace SyncBench.Signal.Vectors;

/// <summary>One float: for work too short for a wider register, and to hold the others against in tests.</summary>
internal readonly unsafe struct Lanes1 : ILanes<Lanes1>
{
    private readonly float _value;

    private Lanes1(float value) => _value = value;

    public static int Count => 1;

    public static Lanes1 operator +(Lanes1 left, Lanes1 right) => new(left._value + right._value);

    public static Lanes1 operator -(Lanes1 left, Lanes1 right) => new(left._value - right._value);

    public static Lanes1 operator *(Lanes1 left, Lanes1 right) => new(left._value * right._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes1 Load(float* source) => new(*source);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes1 Broadcast(float value) => new(value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(Lanes1 value, float* target) => *target = value._value;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes1 MultiplyAdd(Lanes1 left, Lanes1 right, Lanes1 addend) =>
        new((left._value * right._value) + addend._value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes1 MultiplySubtract(Lanes1 left, Lanes1 right, Lanes1 minuend) =>
        new(minuend._value - (left._value * right._value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static float Sum(Lanes1 value) => value._value;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes1 Reverse(Lanes1 value) => value;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void LoadPairs(float* source, out Lanes1 even, out Lanes1 odd)
    {
        even = new(source[0]);
        odd = new(source[1]);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void StorePairs(Lanes1 even, Lanes1 odd, float* target)
    {
        target[0] = even._value;
        target[1] = odd._value;
    }

    public static void Transpose(float* source, nint sourceStride, float* target, nint targetStride) =>
        *target = *source;
}
