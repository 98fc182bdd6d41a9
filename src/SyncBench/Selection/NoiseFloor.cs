using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using SyncBench.Alignment;

namespace SyncBench.Selection;

/// <summary>The level of the steady noise under the speech, band by band, along one channel.</summary>
/// <remarks>
/// Minimum statistics: R. Martin, "Noise power spectral density estimation based on optimal smoothing and minimum
/// statistics", IEEE Trans. Speech and Audio Processing 9(5), 2001, 504-512: the power is smoothed by a factor that
/// opens when it leaves the noise, its minimum over a window that outlasts a syllable is the noise, and the variance of
/// the smoothed power tells how far that minimum lies below the mean. Equations and tables from memory. Different here:
/// bands instead of bins (the measured variance covers it); a hop of 10 ms instead of 16; and, as we are off-line, a
/// window before and one after each instant, of which the higher minimum counts, so that noise that sets in or stops is
/// followed at once instead of a window later.
/// </remarks>
public sealed class NoiseFloor
{
    /// <summary>Steps in a block: the floor is one value a block. Twelve blocks are the window of 2.28 s.</summary>
    private const int BlockSteps = 19;

    private const int WindowBlocks = 12;

    /// <summary>4.56 s: dense speech may go on for longer than the other window without a pause that an echo lets one hear.</summary>
    private const int SteadyBlocks = 2 * WindowBlocks;

    /// <summary>The 32 ms window of a step reaches into so many steps before and after it.</summary>
    private const int Overlap = 2;

    /// <summary>The window in hops of 16 ms, for which the table of <see cref="MeanOfMinimum"/> was made.</summary>
    private const float WindowFrames = BlockSteps * WindowBlocks / 1.6f;

    private const int Lanes = 24; // BandLevels.Bands rounded up to whole vectors
    private const int Width = 8;

    /// <summary>M(D) of Martin's table III at D = 140, the nearest to <see cref="WindowFrames"/>.</summary>
    private const float MeanOfMinimum = 0.9f;

    /// <summary>Martin's 0.96 a hop of 16 ms.</summary>
    private const float SlowestSmoothing = 0.975f;

    private static readonly float[] Powers =
        [.. Enumerable.Range(0, 256).Select(level => MathF.Pow(10, BandLevels.ToDb((byte)level) / 10))];

    private readonly int _first;
    private readonly byte[] _floor;
    private readonly byte[] _steady;

    private NoiseFloor(int first, byte[] floor, byte[] steady) => (_first, _floor, _steady) = (first, floor, steady);

    /// <summary>The floor of the 20 bands at a step of the clip, coded as <see cref="BandLevels"/> are.</summary>
    public ReadOnlySpan<byte> Step(int step) => At(_floor, step);

    /// <summary>
    /// The same of noise that stays for five seconds: right in dense speech and a live room too, where the other is far too high, for it
    /// finds no pause.
    /// </summary>
    public ReadOnlySpan<byte> Steady(int step) => At(_steady, step);

    /// <summary>Estimates the floor over <paramref name="count"/> steps of a channel.</summary>
    /// <param name="measure">Tells where the signal is missing: silence of a dead link is no noise floor.</param>
    public static NoiseFloor Of(BandLevels levels, MicMeasure measure, int first, int count)
    {
        int blocks = Math.Max(1, (count + BlockSteps - 1) / BlockSteps);
        var minima = new float[blocks * Lanes];
        Array.Fill(minima, float.PositiveInfinity);
        var tracker = new Tracker();
        int lastMissing = int.MinValue / 2;
        for (int near = Math.Max(0, first - Overlap); near < Math.Min(measure.Steps, first + Overlap); near++)
        {
            lastMissing = measure.MissingShare(near) > 0 ? near : lastMissing;
        }

        for (int i = 0; i < count; i++)
        {
            int step = first + i, ahead = step + Overlap;
            lastMissing = ahead < measure.Steps && measure.MissingShare(ahead) > 0 ? ahead : lastMissing;
            Span<float> minimum = minima.AsSpan(i / BlockSteps * Lanes, Lanes);
            if (lastMissing < step - Overlap)
            {
                tracker.Hear(levels.Step(step), minimum);
            }

            if ((i + 1) % BlockSteps == 0)
            {
                tracker.CloseBlock(minimum);
            }
        }

        return new NoiseFloor(first, Floors(minima, blocks, WindowBlocks), Floors(minima, blocks, SteadyBlocks));
    }

    private ReadOnlySpan<byte> At(byte[] floor, int step)
    {
        int block = Math.Clamp((step - _first) / BlockSteps, 0, (floor.Length / BandLevels.Bands) - 1);
        return floor.AsSpan(block * BandLevels.Bands, BandLevels.Bands);
    }

    private static byte[] Floors(float[] minima, int blocks, int window)
    {
        var floors = new byte[blocks * BandLevels.Bands];
        for (int block = 0; block < blocks; block++)
        {
            for (int band = 0; band < BandLevels.Bands; band++)
            {
                float before = Lowest(minima, band, block - window + 1, block, blocks);
                float after = Lowest(minima, band, block, block + window - 1, blocks);
                float power = Higher(before, after);
                floors[(block * BandLevels.Bands) + band] =
                    power is > 0 and < float.PositiveInfinity
                        ? BandLevels.FromDb((10 * MathF.Log10(power)) - LiftDb(band))
                        : (byte)0;
            }
        }

        return floors;
    }

    private static float Lowest(float[] minima, int band, int from, int to, int blocks)
    {
        // At an end of the sound the window is cut short, and a short window finds speech: it is moved inside instead.
        int shift = Math.Max(0, -from) - Math.Max(0, to - (blocks - 1));
        float lowest = float.PositiveInfinity;
        for (int block = Math.Max(0, from + shift); block <= Math.Min(blocks - 1, to + shift); block++)
        {
            lowest = Math.Min(lowest, minima[(block * Lanes) + band]);
        }

        return lowest;
    }

    /// <summary>
    /// Measured on white and pink noise: the higher of two minima, and one spread for bands that are narrow and wide,
    /// lift the floor by about this.
    /// </summary>
    private static float LiftDb(int band) => 0.1f + (0.06f * (band - 6));

    private static float Higher(float before, float after) =>
        float.IsInfinity(before) ? after : float.IsInfinity(after) ? before : Math.Max(before, after);

    /// <summary>The recursion over steps, all bands at once.</summary>
    private sealed class Tracker
    {
        private readonly float[] _power = new float[Lanes];
        private readonly float[] _smooth = new float[Lanes];
        private readonly float[] _noise = new float[Lanes];
        private readonly float[] _mean = new float[Lanes];
        private readonly float[] _meanSquare = new float[Lanes];
        private readonly float[] _recent = new float[WindowBlocks * Lanes];
        private readonly float[] _lowestRecent = new float[Lanes];
        private float _correction = 1;
        private float _spread = 1; // B_c of the step before: the mean over bands is known only when all are done
        private int _block;
        private bool _started;

        public Tracker()
        {
            Array.Fill(_recent, float.PositiveInfinity);
            Array.Fill(_lowestRecent, float.PositiveInfinity);
        }

        /// <param name="minimum">The lowest compensated power so far of this block, by band.</param>
        [MethodImpl(MethodImplOptions.AggressiveOptimization)]
        public void Hear(ReadOnlySpan<byte> levels, Span<float> minimum)
        {
            float total = 0, smoothTotal = 0, noiseTotal = 0;
            for (int band = 0; band < levels.Length; band++)
            {
                total += _power[band] = Powers[levels[band]];
                smoothTotal += _smooth[band];
                noiseTotal += _noise[band];
            }

            if (!_started)
            {
                Start();
                smoothTotal = noiseTotal = total;
            }

            float excess = (smoothTotal / total) - 1;
            _correction = (0.7f * _correction) + (0.3f * Math.Max(0.7f, 1 / (1 + (excess * excess))));
            // SNR^(−hop/64 ms), at most 0.3: how slow smoothing may be while speech decays.
            float ratio = Math.Max(1, smoothTotal / noiseTotal);
            float fastest = ratio < 2000 ? 0.3f : Math.Min(0.3f, MathF.Exp(-10 / 64f * MathF.Log(ratio))); // 0.3 at 2,219
            Update(fastest, minimum);
        }

        public void CloseBlock(ReadOnlySpan<float> minimum)
        {
            minimum.CopyTo(_recent.AsSpan(_block++ % WindowBlocks * Lanes));
            Array.Fill(_lowestRecent, float.PositiveInfinity);
            for (int i = 0; i < _recent.Length; i++)
            {
                _lowestRecent[i % Lanes] = Math.Min(_lowestRecent[i % Lanes], _recent[i]);
            }
        }

        private void Start()
        {
            _power.CopyTo(_smooth, 0);
            _power.CopyTo(_noise, 0);
            _power.CopyTo(_mean, 0);
            for (int lane = 0; lane < Lanes; lane++)
            {
                _meanSquare[lane] = _power[lane] * _power[lane];
            }

            _started = true;
        }

        [MethodImpl(MethodImplOptions.AggressiveOptimization)]
        private void Update(float fastest, Span<float> minimum)
        {
            var one = Vector256.Create(1f);
            var tiny = Vector256.Create(1e-14f); // below −120 dB; keeps empty lanes finite
            float inverseFreedom = 0;
            for (int lane = 0; lane < Lanes; lane += Width)
            {
                Vector256<float> power = Load(_power, lane);
                Vector256<float> noise = Vector256.Max(Load(_noise, lane), tiny);
                Vector256<float> off = (Load(_smooth, lane) / noise) - one;
                Vector256<float> alpha = Vector256.Max(
                    Vector256.Create(SlowestSmoothing * _correction) / (one + (off * off)), Vector256.Create(fastest));
                Vector256<float> smooth = (alpha * Load(_smooth, lane)) + ((one - alpha) * power);
                Store(smooth, _smooth, lane);

                Vector256<float> beta = Vector256.Min(alpha * alpha, Vector256.Create(0.8f));
                Vector256<float> mean = (beta * Load(_mean, lane)) + ((one - beta) * smooth);
                Vector256<float> meanSquare =
                    (beta * Load(_meanSquare, lane)) + ((one - beta) * smooth * smooth);
                Store(mean, _mean, lane);
                Store(meanSquare, _meanSquare, lane);
                Vector256<float> variance = Vector256.Max(meanSquare - (mean * mean), Vector256<float>.Zero);

                // 1/Q: half the variance over the squared noise, at most ½ (a bare periodogram).
                Vector256<float> inverse = Vector256.Min(
                    variance / (noise * noise * Vector256.Create(2f)), Vector256.Create(0.5f));
                inverse = Vector256.Max(inverse, Vector256.Create(0.005f));
                Vector256<float> freedom =
                    ((one / inverse) - Vector256.Create(2 * MeanOfMinimum)) / Vector256.Create(1 - MeanOfMinimum);
                Vector256<float> compensation =
                    one + (Vector256.Create((WindowFrames - 1) * 2) / Vector256.Max(freedom, Vector256.Create(2f)));

                Vector256<float> compensated = smooth * compensation * Vector256.Create(_spread);
                Vector256<float> lowest = Vector256.Min(Load(minimum, lane), compensated);
                Store(lowest, minimum, lane);
                Store(Vector256.Min(lowest, Load(_lowestRecent, lane)), _noise, lane);
                inverseFreedom += lane + Width <= BandLevels.Bands
                    ? Vector256.Sum(inverse)
                    : Vector128.Sum(inverse.GetLower());
            }

            _spread = 1 + (2.12f * MathF.Sqrt(inverseFreedom / BandLevels.Bands));
        }

        private static Vector256<float> Load(ReadOnlySpan<float> from, int at) =>
            Vector256.LoadUnsafe(ref MemoryMarshal.GetReference(from), (nuint)at);

        private static void Store(Vector256<float> value, Span<float> to, int at) =>
            value.StoreUnsafe(ref MemoryMarshal.GetReference(to), (nuint)at);
    }
}
