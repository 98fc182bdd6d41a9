using System.Numerics;

namespace SyncBench.Signal.Vectors;

/// <summary>
/// A processor register of <see cref="Count"/> floats, so that one text of a kernel serves every width.
/// The run-time compiles it anew for each register type; nothing is called through an interface.
/// </summary>
internal unsafe interface ILanes<TLanes> :
    IAdditionOperators<TLanes, TLanes, TLanes>,
    ISubtractionOperators<TLanes, TLanes, TLanes>,
    IMultiplyOperators<TLanes, TLanes, TLanes>
    where TLanes : struct, ILanes<TLanes>
{
    /// <summary>Floats in the register: a power of two.</summary>
    static abstract int Count { get; }

    static abstract TLanes Load(float* source);

    static abstract TLanes Broadcast(float value);

    static abstract void Store(TLanes value, float* target);

    /// <summary>left · right + addend, in one rounding where the processor can.</summary>
    static abstract TLanes MultiplyAdd(TLanes left, TLanes right, TLanes addend);

    /// <summary>minuend − left · right, in one rounding where the processor can.</summary>
    static abstract TLanes MultiplySubtract(TLanes left, TLanes right, TLanes minuend);

    static abstract float Sum(TLanes value);

    /// <summary>The same floats, last first.</summary>
    static abstract TLanes Reverse(TLanes value);

    /// <summary>Reads 2 · <see cref="Count"/> floats and parts those of even index from those of odd index.</summary>
    static abstract void LoadPairs(float* source, out TLanes even, out TLanes odd);

    /// <summary>The inverse of <see cref="LoadPairs"/>.</summary>
    static abstract void StorePairs(TLanes even, TLanes odd, float* target);

    /// <summary>
    /// Transposes a square of <see cref="Count"/> rows of <see cref="Count"/> floats; strides in floats from row to
    /// row. Source and target don't overlap.
    /// </summary>
    static abstract void Transpose(float* source, nint sourceStride, float* target, nint targetStride);
}
