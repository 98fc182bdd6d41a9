using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using SyncBench.Media;
using SyncBench.Signal;

namespace SyncBench.Alignment;

/// <summary>Measures the <see cref="BandLevels"/> of every channel of one clip as its sound streams by.</summary>
/// <remarks>
/// A 512-sample (32 ms) periodic Hann window every 160 samples (10 ms) at 16 kHz, led in and out by silence, so a clip
/// of n samples has ⌈n/160⌉ steps. Each band is a sum of bin powers, a bin that straddles an edge in proportion, scaled
/// so that a full-scale sine at the band's centre reads 0 dB. (Below 300 Hz a band is about one bin wide and a sine
/// leaks out of it, so that scale lifts noise there by up to 4 dB: levels compare within a band, not across those.)
/// </remarks>
public sealed class BandLevelMeter(int channels) : ISoundListener
{
    private const int WindowLength = 512;
    private const int Hop = 160;
    private const int Bins = (WindowLength / 2) + 1;

    /// <summary>Room for every band's bins in whole vectors, and for the bands themselves.</summary>
    private const int PaddedBins = Bins + 15;
    private const int PaddedBands = 24;

    private static readonly float[] Taper = Window.Hann(WindowLength);
    private static readonly Band[] Bands = [.. Enumerable.Range(0, BandLevels.Bands).Select(CalibratedBand)];

    private readonly Channel[] _channels = [.. Enumerable.Range(0, channels).Select(_ => new Channel())];
    private readonly RealFft _transform = RealFft.OfSize(WindowLength);
    private readonly float[] _windowed = new float[WindowLength];
    private readonly float[] _re = new float[Bins];
    private readonly float[] _im = new float[Bins];
    private readonly float[] _power = new float[PaddedBins];
    private readonly float[] _sums = new float[PaddedBands];
    private bool _finished;

    public void Hear(SoundBlock block)
    {
        for (int channel = 0; channel < _channels.Length; channel++)
        {
            Hear(_channels[channel], block.Analysis(channel));
        }
    }

    public void Finish()
    {
        foreach (Channel channel in _channels)
        {
            long steps = (channel.Heard + Hop - 1) / Hop;
            var silence = new float[WindowLength];
            while (channel.Steps < steps)
            {
                Hear(channel, silence);
            }

            channel.Trim((int)steps);
        }

        _finished = true;
    }

    /// <exception cref="InvalidOperationException">The sound is not over.</exception>
    public BandLevels Of(int channel) => _finished
        ? new BandLevels(_channels[channel].Levels)
        : throw new InvalidOperationException("Levels are ready when the sound is over.");

    private void Hear(Channel channel, ReadOnlySpan<float> samples)
    {
        channel.Heard += samples.Length;
        while (!samples.IsEmpty)
        {
            samples = channel.Fill(samples);
            int start = 0;
            for (; start + WindowLength <= channel.Filled; start += Hop)
            {
                Measure(channel.Pending.AsSpan(start, WindowLength), channel.NextStep());
            }

            channel.Drop(start);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Measure(ReadOnlySpan<float> samples, Span<byte> levels)
    {
        for (int i = 0; i < WindowLength; i += Vector<float>.Count)
        {
            (new Vector<float>(samples[i..]) * new Vector<float>(Taper, i)).CopyTo(_windowed, i);
        }

        _transform.Forward(_windowed, _re, _im);
        Power(_re, _im, _power);
        for (int band = 0; band < levels.Length; band++)
        {
            _sums[band] = Bands[band].Sum(_power);
        }

        BandLevels.FromPowers(_sums, levels);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Power(float[] re, float[] im, float[] power)
    {
        int bin = 0;
        for (; bin <= Bins - Vector<float>.Count; bin += Vector<float>.Count)
        {
            var real = new Vector<float>(re, bin);
            var imaginary = new Vector<float>(im, bin);
            ((real * real) + (imaginary * imaginary)).CopyTo(power, bin);
        }

        for (; bin < Bins; bin++)
        {
            power[bin] = (re[bin] * re[bin]) + (im[bin] * im[bin]);
        }
    }

    private static Band CalibratedBand(int index)
    {
        double centre = BandLevels.CentreHz[index];
        // IEC 61260-1 base ten: a third-octave band reaches 10^(1/20) to either side of its exact midband frequency.
        double exact = 1000 * Math.Pow(10, Math.Round(10 * Math.Log10(centre / 1000)) / 10);
        double edge = Math.Pow(10, 0.05);
        Band unscaled = index == 0 ? new Band(16, 78, 1) : new Band(exact / edge, exact * edge, 1);

        // Sine and cosine together have no phase: half their sum is what a sine reads on average.
        double response = (SinePower(unscaled, centre, phase: 0) + SinePower(unscaled, centre, Math.PI / 2)) / 2;
        return unscaled with { Scale = (float)(1 / response) };
    }

    private static float SinePower(Band band, double frequencyHz, double phase)
    {
        double radians = 2 * Math.PI * frequencyHz / SoundBlock.AnalysisRate.PerSecond;
        var sine = new float[WindowLength];
        for (int n = 0; n < WindowLength; n++)
        {
            sine[n] = Taper[n] * (float)Math.Sin((radians * n) + phase);
        }

        var (re, im, power) = (new float[Bins], new float[Bins], new float[PaddedBins]);
        RealFft.OfSize(WindowLength).Forward(sine, re, im);
        Power(re, im, power);
        return band.Sum(power);
    }

    /// <summary>A sum over the bins between two frequencies.</summary>
    private sealed record Band
    {
        private readonly int _first;
        private readonly float[] _shares;

        public Band(double lowHz, double highHz, float scale)
        {
            double binWidth = SoundBlock.AnalysisRate.PerSecond / WindowLength;
            _first = (int)Math.Floor((lowHz / binWidth) + 0.5);
            int last = (int)Math.Floor((highHz / binWidth) + 0.5);
            _shares = new float[(last - _first + Vector256<float>.Count) / Vector256<float>.Count * Vector256<float>.Count];
            for (int bin = _first; bin <= last; bin++)
            {
                double low = Math.Max(lowHz, (bin - 0.5) * binWidth);
                double high = Math.Min(highHz, (bin + 0.5) * binWidth);
                _shares[bin - _first] = (float)((high - low) / binWidth);
            }

            Scale = scale;
        }

        public float Scale { get; init; }

        /// <param name="power">Bins and, behind them, zeros that fill up the last vector.</param>
        [MethodImpl(MethodImplOptions.AggressiveOptimization)]
        public float Sum(ReadOnlySpan<float> power)
        {
            ref float bins = ref MemoryMarshal.GetReference(power.Slice(_first, _shares.Length));
            ref float shares = ref MemoryMarshal.GetArrayDataReference(_shares);
            Vector256<float> sum = Vector256<float>.Zero;
            for (int i = 0; i < _shares.Length; i += Vector256<float>.Count)
            {
                sum += Vector256.LoadUnsafe(ref bins, (nuint)i) * Vector256.LoadUnsafe(ref shares, (nuint)i);
            }

            return Vector256.Sum(sum) * Scale;
        }
    }

    private sealed class Channel
    {
        /// <summary>The window of step 0 has its middle at sample 80, so it begins 176 samples before the clip.</summary>
        private const int LeadIn = (WindowLength / 2) - (Hop / 2);

        private byte[] _levels = new byte[4096 * BandLevels.Bands];

        public float[] Pending { get; } = new float[8192];

        public int Filled { get; private set; } = LeadIn;

        public long Heard { get; set; }

        public int Steps { get; private set; }

        public byte[] Levels => _levels;

        /// <summary>Takes what there is room for and gives back the rest.</summary>
        public ReadOnlySpan<float> Fill(ReadOnlySpan<float> samples)
        {
            int taken = Math.Min(samples.Length, Pending.Length - Filled);
            samples[..taken].CopyTo(Pending.AsSpan(Filled));
            Filled += taken;
            return samples[taken..];
        }

        public void Drop(int count)
        {
            Pending.AsSpan(count, Filled - count).CopyTo(Pending);
            Filled -= count;
        }

        public Span<byte> NextStep()
        {
            int start = Steps++ * BandLevels.Bands;
            if (start == _levels.Length)
            {
                Array.Resize(ref _levels, start * 2);
            }

            return _levels.AsSpan(start, BandLevels.Bands);
        }

        public void Trim(int steps)
        {
            Steps = steps;
            Array.Resize(ref _levels, steps * BandLevels.Bands);
        }
    }
}
