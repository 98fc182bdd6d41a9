using System.Runtime.CompilerServices;
using SyncBench.Signal.Vectors;

namespace SyncBench.Signal.Resampling;

/// <summary>The sums of products for registers of one width.</summary>
internal sealed unsafe class PolyphaseKernelOfLanes<TLanes> : PolyphaseKernel
    where TLanes : struct, ILanes<TLanes>
{
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public override void Eight(
        float* samples, nint stride, float* taps, int tapCount, float* output, nint outputStride)
    {
        float* half = samples + (4 * stride);
        TLanes a = TLanes.Broadcast(0), b = a, c = a, d = a, e = a, f = a, g = a, h = a;
        for (int k = 0; k < tapCount; k += TLanes.Count)
        {
            TLanes tap = TLanes.Load(taps + k);
            a = TLanes.MultiplyAdd(tap, TLanes.Load(samples + k), a);
            b = TLanes.MultiplyAdd(tap, TLanes.Load(samples + stride + k), b);
            c = TLanes.MultiplyAdd(tap, TLanes.Load(samples + (2 * stride) + k), c);
            d = TLanes.MultiplyAdd(tap, TLanes.Load(samples + (3 * stride) + k), d);
            e = TLanes.MultiplyAdd(tap, TLanes.Load(half + k), e);
            f = TLanes.MultiplyAdd(tap, TLanes.Load(half + stride + k), f);
            g = TLanes.MultiplyAdd(tap, TLanes.Load(half + (2 * stride) + k), g);
            h = TLanes.MultiplyAdd(tap, TLanes.Load(half + (3 * stride) + k), h);
        }

        output[0] = TLanes.Sum(a);
        output[outputStride] = TLanes.Sum(b);
        output[2 * outputStride] = TLanes.Sum(c);
        output[3 * outputStride] = TLanes.Sum(d);
        output[4 * outputStride] = TLanes.Sum(e);
        output[5 * outputStride] = TLanes.Sum(f);
        output[6 * outputStride] = TLanes.Sum(g);
        output[7 * outputStride] = TLanes.Sum(h);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public override float One(float* samples, float* taps, int tapCount)
    {
        TLanes sum = TLanes.Broadcast(0);
        for (int k = 0; k < tapCount; k += TLanes.Count)
        {
            sum = TLanes.MultiplyAdd(TLanes.Load(taps + k), TLanes.Load(samples + k), sum);
        }

        return TLanes.Sum(sum);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public override float Between(float* samples, float* taps, int tapCount, float share)
    {
        TLanes low = TLanes.Broadcast(0), high = low;
        for (int k = 0; k < tapCount; k += TLanes.Count)
        {
            TLanes x = TLanes.Load(samples + k);
            low = TLanes.MultiplyAdd(TLanes.Load(taps + k), x, low);
            high = TLanes.MultiplyAdd(TLanes.Load(taps + tapCount + k), x, high);
        }

        return TLanes.Sum(TLanes.MultiplyAdd(high - low, TLanes.Broadcast(share), low));
    }
}
