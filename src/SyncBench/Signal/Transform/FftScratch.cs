using System.Runtime.InteropServices;

namespace SyncBench.Signal.Transform;

/// <summary>Working memory of each thread, kept from call to call, grown to its largest transform.</summary>
internal static unsafe class FftScratch
{
    /// <summary>A cache line, and the widest register.</summary>
    private const int AlignmentBytes = 64;

    [ThreadStatic]
    private static float[]? _ofThisThread;

    /// <summary>
    /// At least <paramref name="floats"/> floats on a cache-line boundary, with any content. They are pinned, so the
    /// pointer holds until the next call on this thread that asks for more.
    /// </summary>
    public static float* Rent(int floats)
    {
        int needed = floats + (AlignmentBytes / sizeof(float));
        if (_ofThisThread is null || _ofThisThread.Length < needed)
        {
            _ofThisThread = GC.AllocateUninitializedArray<float>(needed, pinned: true);
        }

        nuint start = (nuint)Marshal.UnsafeAddrOfPinnedArrayElement(_ofThisThread, 0);
        return (float*)((start + AlignmentBytes - 1) & ~(nuint)(AlignmentBytes - 1));
    }
}
