using System.Numerics;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Signal;

namespace SyncBench.Selection;

/// <summary>Measures the <see cref="LineLevels"/> of every channel of one clip as its sound streams by.</summary>
/// <remarks>
/// The sound is brought down to 1 kHz (flat to 380 Hz, images of what lies above 620 Hz at −60 dB), then a window of 0.4 s
/// every 50 ms is transformed: its main lobe of ±5 Hz holds the mains, whose frequency is kept within 0.5 Hz (EN 50160, from
/// memory), and parts it from a voice.
/// </remarks>
public sealed class LineMeter(int channels) : ISoundListener
{
    private const int Down = 16;
    private const int WindowLength = 400;
    private const int Hop = 50;
    private const int TransformSize = 512;
    private const double BinHz = 1000.0 / TransformSize;

    private static readonly float[] LowPass = ReversedInLanes(FirDesign.LowPass(16_000, 380, 620, 60));
    private static readonly float[] Taper = Window.Hann(WindowLength);
    private static readonly (int On, int Below, int Above)[] Bins = [.. LineLevels.Hz.Select(hz => (
        (int)Math.Floor(hz / BinHz), (int)Math.Round((hz - 11) / BinHz), (int)Math.Round((hz + 11) / BinHz)))];

    /// <summary>A full-scale sine reads 0 dB.</summary>
    private static readonly float Scale = (float)Math.Pow(2 / (double)Taper.Sum(), 2);

    private readonly Channel[] _channels = [.. Enumerable.Range(0, channels).Select(_ => new Channel())];
    private readonly RealFft _transform = RealFft.OfSize(TransformSize);
    private readonly float[] _windowed = new float[TransformSize];
    private readonly float[] _re = new float[(TransformSize / 2) + 1];
    private readonly float[] _im = new float[(TransformSize / 2) + 1];
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
        var silence = new float[(WindowLength * Down) + LowPass.Length];
        foreach (Channel channel in _channels)
        {
            long steps = ((channel.Heard + (Down * Hop) - 1) / (Down * Hop)) + 1;
            Hear(channel, silence);
            channel.Levels.RemoveRange(
                (int)Math.Min(channel.Levels.Count, steps * 2 * Bins.Length), (int)Math.Max(0, channel.Levels.Count - (steps * 2 * Bins.Length)));
        }

        _finished = true;
    }

    /// <exception cref="InvalidOperationException">The sound is not over.</exception>
    public LineLevels Of(int channel) => _finished
        ? new LineLevels([.. _channels[channel].Levels])
        : throw new InvalidOperationException("Levels are ready when the sound is over.");

    private void Hear(Channel channel, ReadOnlySpan<float> samples)
    {
        channel.Heard += samples.Length;
        while (!samples.IsEmpty)
        {
            int taken = Math.Min(samples.Length, channel.Pending.Length - channel.Filled);
            samples[..taken].CopyTo(channel.Pending.AsSpan(channel.Filled));
            channel.Filled += taken;
            samples = samples[taken..];
            int start = 0;
            for (; start + LowPass.Length <= channel.Filled; start += Down)
            {
                channel.Slow[channel.SlowFilled++] = Filtered(channel.Pending.AsSpan(start, LowPass.Length));
                if (channel.SlowFilled == WindowLength)
                {
                    Measure(channel);
                }
            }

            channel.Pending.AsSpan(start, channel.Filled - start).CopyTo(channel.Pending);
            channel.Filled -= start;
        }
    }

    private static float Filtered(ReadOnlySpan<float> samples)
    {
        var sum = Vector<float>.Zero;
        for (int i = 0; i < LowPass.Length; i += Vector<float>.Count)
        {
            sum += new Vector<float>(samples[i..]) * new Vector<float>(LowPass, i);
        }

        return Vector.Sum(sum);
    }

    private void Measure(Channel channel)
    {
        for (int i = 0; i < WindowLength; i += 8)
        {
            for (int lane = 0; lane < 8; lane += Vector<float>.Count)
            {
                (new Vector<float>(channel.Slow, i + lane) * new Vector<float>(Taper, i + lane)).CopyTo(_windowed, i + lane);
            }
        }

        _transform.Forward(_windowed, _re, _im);
        foreach ((int on, int below, int above) in Bins)
        {
            channel.Levels.Add(Code(Math.Max(Power(on), Power(on + 1))));
            channel.Levels.Add(Code(Math.Max(Mean(below), Mean(above))));
        }

        channel.Slow.AsSpan(Hop).CopyTo(channel.Slow);
        channel.SlowFilled -= Hop;
    }

    private float Mean(int bin) => (Power(bin - 1) + Power(bin) + Power(bin + 1)) / 3;

    private float Power(int bin) => (_re[bin] * _re[bin]) + (_im[bin] * _im[bin]);

    private static byte Code(float power) => BandLevels.FromDb(power * Scale > 1e-12f ? 10 * MathF.Log10(power * Scale) : -120);

    /// <summary>Filled up with zeros to whole vectors of any width; a symmetric filter is its own mirror image.</summary>
    private static float[] ReversedInLanes(float[] taps)
    {
        var padded = new float[(taps.Length + 15) / 16 * 16];
        taps.CopyTo(padded, 0);
        return padded;
    }

    private sealed class Channel
    {
        /// <summary>So that the first window has its middle at the beginning of the clip.</summary>
        private const int LeadIn = WindowLength / 2;

        /// <summary>The low-pass's delay, led in by silence.</summary>
        public int Filled { get; set; } = LowPass.Length / 2;

        public float[] Pending { get; } = new float[8192];

        public float[] Slow { get; } = new float[WindowLength];

        public int SlowFilled { get; set; } = LeadIn;

        public long Heard { get; set; }

        public List<byte> Levels { get; } = [];
    }
}
