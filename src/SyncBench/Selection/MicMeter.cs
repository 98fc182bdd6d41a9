using System.Numerics;
using SyncBench.Alignment;
using SyncBench.Media;

namespace SyncBench.Selection;

/// <summary>
/// Measures peaks, clipping and dropouts of every channel of one clip, at the file's own rate, as its sound streams by.
/// </summary>
/// <remarks>
/// Clipping: tops that are flat, three or more samples running that are nearly equal, entered or left by a jump, again and
/// again at one level that the channel does not pass in between, whatever that level is (an analogue stage clips below full
/// scale, and a gain after it moves the level); common practice. The jump tells a cut top from the round top of a low tone,
/// and where tops are cut, most of the highest samples stand in them. Dropout: two milliseconds or more in which the signal stands still (a digital
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

        /// <summary>How near two tops must be to be cut at one level.</summary>
        private const float OneLevel = 0.005f;

        /// <summary>Tops of one level further apart than this do not speak for each other.</summary>
        private const int FarthestSteps = 100;

        private const float Jump = 2e-3f;

        /// <summary>−120 dB: less than half a step of 20-bit sound.</summary>
        private const float Still = 1e-6f;

        private byte[] _peaks = new byte[4096];
        private readonly List<Top> _tops = [];
        private int _highSamples; // of the step, that come near its highest, in flat tops or not
        private byte[] _missing = new byte[4096];

        private int _sampleRateHz;
        private long _position;
        private int _step;
        private float _previous;
        private float[] _begun = []; // the part of a step that the last block held
        private int _pending;

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
                int needed = (int)(StepStart(_step + 1) - _position);
                int missing = Math.Min(samples.Length, needed - _pending);
                if (_pending == 0 && missing == needed)
                {
                    HearStep(samples[..needed]);
                }
                else
                {
                    // A step is looked at as a whole, wherever blocks end.
                    _begun = _begun.Length < needed ? new float[needed + 1] : _begun;
                    samples[..missing].CopyTo(_begun.AsSpan(_pending));
                    _pending += missing;
                    if (_pending == needed)
                    {
                        _pending = 0;
                        HearStep(_begun.AsSpan(0, needed));
                    }
                }

                samples = samples[missing..];
            }
        }

        public void Finish()
        {
            if (_pending > 0)
            {
                HearStep(_begun.AsSpan(0, _pending));
            }

            EndStill();
            EndTop(0);
            Measure = new MicMeasure(_peaks[.._step], Clipped(), _missing[.._step]);
        }

        private byte[] Clipped()
        {
            var clipped = new byte[_step];
            var open = new List<Level>();
            foreach (Top top in _tops.Where(top => top.Step < _step))
            {
                open.RemoveAll(level => !Continues(level, top.Step));
                Level? same = open.Find(level => MathF.Abs(level.Height - top.Height) <= OneLevel * level.Height);
                if (same is null)
                {
                    open.Add(same = new Level(top.Height));
                }

                same.Add(top, clipped);
            }

            return clipped;
        }

        /// <summary>Whether nothing since the last top of a level was higher than it.</summary>
        private bool Continues(Level level, int step)
        {
            byte highest = PeakByte(level.Height * (1 + OneLevel));
            return step - level.LastStep <= FarthestSteps
                && !_peaks.AsSpan(level.LastStep, step - level.LastStep + 1).ContainsAnyInRange((byte)(highest + 1), byte.MaxValue);
        }

        /// <summary>First sample of a step: rounded up where a step is not a whole number of samples.</summary>
        private long StepStart(long step) => ((step * _sampleRateHz) + 99) / 100;

        private void HearStep(ReadOnlySpan<float> samples)
        {
            (float peak, int stillCount) = Survey(samples);
            if (stillCount > 0)
            {
                FindStill(samples);
            }
            else
            {
                EndStill();
                _stillFrom = _position + samples.Length - 1;
            }

            if (_topLength > 0 || (peak >= LowestClip && HasFlatTop(samples, peak)))
            {
                FindTops(samples, peak);
            }

            _previous = samples[^1];
            _position += samples.Length;
            EnsureRoom(_step);
            _peaks[_step++] = PeakByte(peak);
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
                    EndStill(_position + i, before);
                    _stillFrom = _position + i;
                }

                before = samples[i];
            }
        }

        private void EndStill() => EndStill(_position, _previous);

        private void EndStill(long end, float held)
        {
            // What stands still at full scale is cut off, not missing.
            if (_sampleRateHz == 0 || (end - _stillFrom) * 500 < _sampleRateHz || MathF.Abs(held) >= FullScale)
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

        /// <summary>A quick look for two equal samples near the highest.</summary>
        private static bool HasFlatTop(ReadOnlySpan<float> samples, float peak)
        {
            var high = new Vector<float>(0.98f * peak);
            var equal = new Vector<float>(NearlyEqual * peak);
            int i = 1;
            for (; i <= samples.Length - Vector<float>.Count; i += Vector<float>.Count)
            {
                var here = new Vector<float>(samples[i..]);
                var before = new Vector<float>(samples[(i - 1)..]);
                if (Vector.GreaterThanOrEqualAll(Vector.Abs(here - before), equal))
                {
                    continue;
                }

                if (Vector.BitwiseAnd(
                    Vector.LessThan(Vector.Abs(here - before), equal), Vector.GreaterThanOrEqual(Vector.Abs(here), high)) != Vector<int>.Zero)
                {
                    return true;
                }
            }

            for (; i < samples.Length; i++)
            {
                if (MathF.Abs(samples[i]) >= 0.98f * peak && MathF.Abs(samples[i] - samples[i - 1]) < NearlyEqual * peak)
                {
                    return true;
                }
            }

            return false;
        }

        private void FindTops(ReadOnlySpan<float> samples, float peak)
        {
            float high = Math.Min(FullScale, peak * (1 - OneLevel));
            _highSamples = 0;
            float before = _previous;
            foreach (float sample in samples)
            {
                float level = MathF.Abs(sample);
                _highSamples += level >= high ? 1 : 0;
                bool flat = level >= LowestClip
                    && (MathF.Abs(sample - before) <= NearlyEqual * level
                        || (MathF.Min(level, MathF.Abs(before)) >= FullScale && sample * before > 0));
                if (flat)
                {
                    _topLength = _topLength == 0 ? 2 : _topLength + 1;
                    _topLevel = sample;
                }
                else
                {
                    EndTop(sample);
                    _topEnteredByJump = MathF.Abs(sample - before) > Jump * level;
                }

                before = sample;
            }
        }

        private void EndTop(float next)
        {
            bool jump = _topEnteredByJump || MathF.Abs(_topLevel - next) > Jump * MathF.Abs(_topLevel);
            float height = Math.Min(FullScale, MathF.Abs(_topLevel));
            if (_topLength >= 2 && (jump || height >= FullScale))
            {
                _tops.Add(new Top(_step, height, _topLength, _highSamples));
                _highSamples = 0;
            }

            _topLength = 0;
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

    /// <param name="High">Samples near the highest of the step since the last top, this one's among them.</param>
    private readonly record struct Top(int Step, float Height, int Samples, int High);

    /// <summary>Tops at one level, one after the other.</summary>
    private sealed class Level(float height)
    {
        /// <summary>Fewer may be chance.</summary>
        private const int FewestTops = 4;

        private readonly List<Top> _waiting = [];
        private bool _isCut;
        private int _flat;
        private long _samples;
        private long _high;

        public float Height => height;

        public int LastStep { get; private set; }

        public void Add(Top top, byte[] clipped)
        {
            LastStep = top.Step;
            _samples += top.Samples;
            _high += top.High;
            _waiting.Add(top);

            // Two equal samples may be chance: they count only where a level is known to be cut.
            _flat += top.Samples > 2 ? 1 : 0;
            _isCut = (_isCut || _flat >= FewestTops) && _samples * 2 >= _high;
            foreach (Top sure in _isCut ? _waiting : [])
            {
                clipped[sure.Step] = (byte)Math.Min(255, clipped[sure.Step] + sure.Samples);
            }

            if (_isCut)
            {
                _waiting.Clear();
            }
        }
    }
}
