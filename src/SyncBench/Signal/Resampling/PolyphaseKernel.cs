using SyncBench.Signal.Vectors;

namespace SyncBench.Signal.Resampling;

/// <summary>The sums of products of a polyphase filter.</summary>
internal abstract unsafe class PolyphaseKernel
{
    public static PolyphaseKernel Widest { get; } =
        Lanes16.IsSupported ? new PolyphaseKernelOfLanes<Lanes16>()
        : Lanes8.IsSupported ? new PolyphaseKernelOfLanes<Lanes8>()
        : new PolyphaseKernelOfLanes<Lanes4>();

    /// <summary>
    /// Eight outputs by one set of taps: output[j·outputStride] = Σ taps[k]·samples[j·stride + k].
    /// </summary>
    /// <param name="tapCount">A multiple of 16.</param>
    public abstract void Eight(
        float* samples, nint stride, float* taps, int tapCount, float* output, nint outputStride);

    /// <summary>Σ taps[k]·samples[k], rounded exactly as each output of <see cref="Eight"/>.</summary>
    /// <param name="tapCount">A multiple of 16.</param>
    public abstract float One(float* samples, float* taps, int tapCount);

    /// <summary>Σ (taps[k] + share·(taps[tapCount + k] − taps[k]))·samples[k]: between two rows of taps.</summary>
    /// <param name="tapCount">A multiple of 16.</param>
    public abstract float Between(float* samples, float* taps, int tapCount, float share);
}
