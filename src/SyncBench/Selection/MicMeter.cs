using System.Numerics;
using SyncBench.Alignment;
using SyncBench.Media;

namespace SyncBench.Selection;

/// <summary>
/// Measures peaks, clipping and dropouts of every channel of one clip, at the file's own rate, as its sound streams by.
/// </summary>
/// <remarks>
/// Clipping: three or more samples running that are nearly equal, entered or left by a jump, at full scale or again and
/// again at one highest level that the channel never passes (an analogue stage clips below full scale); common practice.
/// The jump tells a cut top from the round top of a low tone, and where tops are cut, most of the highest samples stand
/// in them. Dropout: two milliseconds or more in which the signal stands still (a digital
/// link that mutes or holds); no microphone is that quiet; common practice.
/// </remarks>
public sealed class MicMeter(int channels) : ISoundListener
{
    private readonly Channel[] _channels = [.. Enumerable.Range(0, channels).Select(_ => new Channel())];
    private bool _finished;

    public void Hear(SoundBlock block)
    {
        for (int channel = 0; channel < _channels.Length; channel++)
        {
            _channels[channel].Hear(block.Full(channel), block.SampleRateHz);
        }
    }

    public void Finish()
    {
        foreach (Channel channel in _channels)
        {
            channel.Finish();
        }

        _finished = true;
    }

    /// <exception cref="InvalidOperationException">The sound is not over.</exception>
    public MicMeasure Of(int channel) => _finished
        ? _channels[channel].Measure
        : throw new InvalidOperationException("Measures are ready when the sound is over.");

    private sealed class Channel
    {
        private const float FullScale = 0.999f;

        /// <summary>−26 dB: nothing clips below it, and coarse quantisation makes flat tops there.</summary>
        private const float LowestClip = 0.05f;

        private const float NearlyEqual = 1e-4f;

        /// <summary>How near two tops must be to be cut at one level, and how often it must happen to be no chance.</summary>
        private const float OneLevel = 0.005f;
        private const int FewestTops = 4;

        private const float Jump = 2e-3f;

        /// <summary>−120 dB: less than half a step of 20-bit sound.</summary>
        private const float Still = 1e-6f;

        private byte[] _peaks = new byte[4096];
        private readonly List<(int Step, float Level, int Samples)> _tops = [];
        private long _highSamples; // that reach the highest level, in flat tops or not
        private byte[] _missing = new byte[4096];

        private int _sampleRateHz;
        private long _position;
        private int _step;
        private float _peak;
        private float _highest;
        private float _previous;

        private long _stillFrom;

        private int _topLength;
        private float _topLevel;
        private bool _topEnteredByJump;

        public MicMeasure Measure { get; private set; } = new([], [], []);

        public void Hear(ReadOnlySpan<float> samples, int sampleRateHz)
        {
            _sampleRateHz = sampleRateHz;
            while (!samples.IsEmpty)
            {
                int taken = (int)Math.Min(samples.Length, StepStart(_step + 1) - _position);
                HearWithinStep(samples[..taken]);
                samples = samples[taken..];
                if (_position == StepStart(_step + 1))
                {
                    CloseStep();
                }
            }
        }

        public void Finish()
        {
            EndStill();
            EndTop(0);
            if (_sampleRateHz > 0 && _position > StepStart(_step))
            {
                CloseStep();
            }

            Measure = new MicMeasure(_peaks[.._step], Clipped(), _missing[.._step]);
        }

        private byte[] Clipped()
        {
            var clipped = new byte[_step];
            float level = Math.Min(FullScale, _highest * (1 - OneLevel));
            _tops.RemoveAll(top => top.Level < level);
            if (_tops.Count >= FewestTops && _tops.Sum(top => (long)top.Samples) * 2 >= _highSamples)
            {
                foreach ((int step, _, int samples) in _tops.Where(top => top.Step < _step))
                {
                    clipped[step] = (byte)Math.Min(255, clipped[step] + samples);
                }
            }

            return clipped;
        }

        /// <summary>First sample of a step: rounded up where a step is not a whole number of samples.</summary>
        private long StepStart(long step) => ((step * _sampleRateHz) + 99) / 100;

        private void HearWithinStep(ReadOnlySpan<float> samples)
        {
            (float peak, int stillCount) = Survey(samples);
            _peak = Math.Max(_peak, peak);
            if (stillCount > 0)
            {
                FindStill(samples);
            }
            else
            {
                EndStill();
                _stillFrom = _position + samples.Length - 1;
            }

            if (_topLength > 0 || (peak >= LowestClip && peak >= (1 - OneLevel) * _highest))
            {
                FindTops(samples, peak);
            }

            _highest = Math.Max(_highest, peak);
            _previous = samples[^1];
            _position += samples.Length;
        }

        /// <summary>The highest sample, and how many samples equal the one before them.</summary>
        private (float Peak, int StillCount) Survey(ReadOnlySpan<float> samples)
        {
            float peak = MathF.Abs(samples[0]);
            int still = MathF.Abs(samples[0] - _previous) <= Still ? 1 : 0;
            int i = 1;
            var peaks = Vector<float>.Zero;
            var counts = Vector<int>.Zero;
            var limit = new Vector<float>(Still);
            for (; i <= samples.Length - Vector<float>.Count; i += Vector<float>.Count)
            {
                var here = new Vector<float>(samples[i..]);
                var before = new Vector<float>(samples[(i - 1)..]);
                peaks = Vector.Max(peaks, Vector.Abs(here));
                counts -= Vector.LessThanOrEqual(Vector.Abs(here - before), limit);
            }

            for (int lane = 0; lane < Vector<float>.Count; lane++)
            {
                peak = Math.Max(peak, peaks[lane]);
            }

            still += Vector.Sum(counts);
            for (; i < samples.Length; i++)
            {
                peak = Math.Max(peak, MathF.Abs(samples[i]));
                still += MathF.Abs(samples[i] - samples[i - 1]) <= Still ? 1 : 0;
            }

            return (peak, still);
        }

        private void FindStill(ReadOnlySpan<float> samples)
        {
            float before = _previous;
            for (int i = 0; i < samples.Length; i++)
            {
                if (MathF.Abs(samples[i] - before) > Still)
                {
                    EndStill(_position + i);
                    _stillFrom = _position + i;
                }

                before = samples[i];
            }
        }

        private void EndStill() => EndStill(_position);

        private void EndStill(long end)
        {
            if (_sampleRateHz == 0 || (end - _stillFrom) * 500 < _sampleRateHz)
            {
                return;
            }

            for (long step = _stillFrom * 100 / _sampleRateHz; StepStart(step) < end; step++)
            {
                long inStep = Math.Min(end, StepStart(step + 1)) - Math.Max(_stillFrom, StepStart(step));
                EnsureRoom((int)step);
                long share = Math.Max(0, inStep) * 100 / (StepStart(step + 1) - StepStart(step));
                _missing[step] = (byte)Math.Min(100, _missing[step] + share);
            }

            _stillFrom = end;
        }

        private void FindTops(ReadOnlySpan<float> samples, float peak)
        {
            if (peak * (1 - OneLevel) > _highest)
            {
                _highSamples = 0;
            }

            float high = Math.Min(FullScale, Math.Max(peak, _highest) * (1 - OneLevel));
            float before = _previous;
            foreach (float sample in samples)
            {
                _highSamples += MathF.Abs(sample) >= high ? 1 : 0;
                bool flat = MathF.Abs(sample) >= LowestClip
                    && (MathF.Abs(sample - before) <= NearlyEqual * MathF.Abs(sample)
                        || (MathF.Min(MathF.Abs(sample), MathF.Abs(before)) >= FullScale && sample * before > 0));
                if (flat)
                {
                    _topLength = _topLength == 0 ? 2 : _topLength + 1;
                    _topLevel = sample;
                }
                else
                {
                    EndTop(sample);
                    _topEnteredByJump = MathF.Abs(sample - before) > Jump * MathF.Abs(sample);
                }

                before = sample;
            }
        }

        private void EndTop(float next)
        {
            bool jump = _topEnteredByJump || MathF.Abs(_topLevel - next) > Jump * MathF.Abs(_topLevel);
            float level = MathF.Abs(_topLevel);
            if (_topLength >= 3 && (jump || level >= FullScale) && level >= _highest * (1 - OneLevel))
            {
                _tops.Add((_step, level, _topLength));
            }

            _topLength = 0;
        }

        private void CloseStep()
        {
            EnsureRoom(_step);
            _peaks[_step++] = PeakByte(_peak);
            _peak = 0;
        }

        private void EnsureRoom(int step)
        {
            if (step >= _peaks.Length)
            {
                Array.Resize(ref _peaks, _peaks.Length * 2);
                Array.Resize(ref _missing, _peaks.Length);
            }
        }

        private static byte PeakByte(float peak) => BandLevels.FromDb(peak > 1e-6f ? 20 * MathF.Log10(peak) : -120);
    }
}
