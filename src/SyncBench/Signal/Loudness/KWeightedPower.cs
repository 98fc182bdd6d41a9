using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace SyncBench.Signal.Loudness;

/// <summary>K-weights one channel of a stream and sums its squares.</summary>
/// <remarks>
/// A recursive filter waits for its last output, so eight samples are taken at a time: outputs and next state are sums
/// of the state before and of the eight inputs, each times a fixed column. The columns are what the filter itself, run
/// sample by sample, answers to a one in one place and zeros in all others. In double precision: a corner at 38 Hz lies
/// far below the sample rate.
/// </remarks>
internal sealed class KWeightedPower
{
    private const int Block = 8;
    private const int States = 4;

    /// <summary>A state below this is silence; let run on, it would decay into denormal numbers, which are slow.</summary>
    private const double Silence = 1e-30;

    private readonly KWeighting _filter;
    private readonly Vector512<double>[] _outputs = new Vector512<double>[States + Block];
    private readonly Vector256<double>[] _states = new Vector256<double>[States + Block];

    private Vector256<double> _state;
    private double _sum;

    public KWeightedPower(double rateHz)
    {
        _filter = KWeighting.At(rateHz);
        Span<double> state = stackalloc double[States];
        Span<double> output = stackalloc double[Block];
        for (int column = 0; column < States + Block; column++)
        {
            state.Clear();
            if (column < States)
            {
                state[column] = 1;
            }

            for (int n = 0; n < Block; n++)
            {
                output[n] = Step(state, column == States + n ? 1 : 0);
            }

            _outputs[column] = Vector512.Create<double>(output);
            _states[column] = Vector256.Create<double>(state);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public unsafe void Add(ReadOnlySpan<float> samples)
    {
        int whole = samples.Length / Block * Block;
        double* x = stackalloc double[Block];
        Vector256<double> state = _state;
        Vector512<double> sum = Vector512<double>.Zero;
        fixed (float* at = samples)
        fixed (Vector512<double>* outputs = _outputs)
        fixed (Vector256<double>* states = _states)
        {
            for (int n = 0; n < whole; n += Block)
            {
                (Vector256<double> first, Vector256<double> second) = Vector256.Widen(Vector256.Load(at + n));
                first.Store(x);
                second.Store(x + 4);

                // Two chains of sums each, so that additions overlap.
                Vector512<double> y = outputs[States] * x[0], z = outputs[States + 1] * x[1];
                Vector256<double> s = states[States] * x[0], t = states[States + 1] * x[1];
                for (int k = 2; k < Block; k += 2)
                {
                    y = Vector512.FusedMultiplyAdd(outputs[States + k], Vector512.Create(x[k]), y);
                    z = Vector512.FusedMultiplyAdd(outputs[States + k + 1], Vector512.Create(x[k + 1]), z);
                    s = Vector256.FusedMultiplyAdd(states[States + k], Vector256.Create(x[k]), s);
                    t = Vector256.FusedMultiplyAdd(states[States + k + 1], Vector256.Create(x[k + 1]), t);
                }

                y = Vector512.FusedMultiplyAdd(outputs[0], Vector512.Create(state[0]), y);
                z = Vector512.FusedMultiplyAdd(outputs[1], Vector512.Create(state[1]), z);
                y = Vector512.FusedMultiplyAdd(outputs[2], Vector512.Create(state[2]), y);
                z = Vector512.FusedMultiplyAdd(outputs[3], Vector512.Create(state[3]), z);
                s = Vector256.FusedMultiplyAdd(states[0], Vector256.Create(state[0]), s);
                t = Vector256.FusedMultiplyAdd(states[1], Vector256.Create(state[1]), t);
                s = Vector256.FusedMultiplyAdd(states[2], Vector256.Create(state[2]), s);
                t = Vector256.FusedMultiplyAdd(states[3], Vector256.Create(state[3]), t);
                state = s + t;
                y += z;
                sum = Vector512.FusedMultiplyAdd(y, y, sum);
            }
        }

        _state = state;
        _sum += Vector512.Sum(sum);
        Span<double> last = MemoryMarshal.CreateSpan(ref Unsafe.As<Vector256<double>, double>(ref _state), States);
        foreach (float sample in samples[whole..])
        {
            double y = Step(last, sample);
            _sum += y * y;
        }
    }

    /// <summary>Sum of squares since the last call.</summary>
    public double Take()
    {
        double sum = _sum;
        _sum = 0;
        _state = Vector256.ConditionalSelect(
            Vector256.LessThan(Vector256.Abs(_state), Vector256.Create(Silence)), Vector256<double>.Zero, _state);
        return sum;
    }

    /// <summary>Both sections, one sample, in transposed direct form II.</summary>
    private double Step(Span<double> state, double x)
    {
        (KWeighting.Section shelf, KWeighting.Section high) = _filter;
        double y = (shelf.B0 * x) + state[0];
        state[0] = (shelf.B1 * x) - (shelf.A1 * y) + state[1];
        state[1] = (shelf.B2 * x) - (shelf.A2 * y);
        double z = (high.B0 * y) + state[2];
        state[2] = (high.B1 * y) - (high.A1 * z) + state[3];
        state[3] = (high.B2 * y) - (high.A2 * z);
        return z;
    }
}
