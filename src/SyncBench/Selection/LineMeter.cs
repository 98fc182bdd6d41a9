using System.Numerics.Tensors;
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

    private static readonly float[] LowPass = FirDesign.LowPass(16_000, 380, 620, 60); // symmetric: its own mirror image
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
            int end = (int)Math.Min(channel.Levels.Count, steps * LineLevels.BytesALine * Bins.Length);
            channel.Levels.RemoveRange(end, channel.Levels.Count - end);
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
                channel.Slow[channel.SlowFilled++] = TensorPrimitives.Dot<float>(channel.Pending.AsSpan(start, LowPass.Length), LowPass);
                if (channel.SlowFilled == WindowLength)
                {
                    Measure(channel);
                }
            }

            channel.Pending.AsSpan(start, channel.Filled - start).CopyTo(channel.Pending);
            channel.Filled -= start;
        }
    }

    private void Measure(Channel channel)
    {
        TensorPrimitives.Multiply(channel.Slow, Taper, _windowed);
        _transform.Forward(_windowed, _re, _im);
        foreach ((int on, int below, int above) in Bins)
        {
            int nearest = Power(on) > Power(on + 1) ? on : on + 1;
            channel.Levels.Add(Code(Power(nearest)));
            channel.Levels.Add(Code(Math.Max(Mean(below), Mean(above))));
            channel.Levels.Add(Turn(nearest));
        }

        channel.Slow.AsSpan(Hop).CopyTo(channel.Slow);
        channel.SlowFilled -= Hop;
    }

    private float Mean(int bin) => (Power(bin - 1) + Power(bin) + Power(bin + 1)) / 3;

    private float Power(int bin) => (_re[bin] * _re[bin]) + (_im[bin] * _im[bin]);

    /// <summary>
    /// The phase in the middle of the window, in 256ths of a turn. Seen from there a symmetric window has no phase, so any bin of the
    /// main lobe tells it, though the mains is not quite at its frequency.
    /// </summary>
    private byte Turn(int bin) =>
        (byte)((int)MathF.Round(256 * ((MathF.Atan2(_im[bin], _re[bin]) / MathF.Tau) + (bin * (WindowLength / 2f) / TransformSize))) & 255);

    private static byte Code(float power) => BandLevels.FromDb(power * Scale > 1e-12f ? 10 * MathF.Log10(power * Scale) : -120);

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
