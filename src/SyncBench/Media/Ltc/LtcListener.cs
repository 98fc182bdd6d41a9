namespace SyncBench.Media.Ltc;

/// <summary>Listens on every channel for linear timecode (LTC) and reads it where it is.</summary>
/// <remarks>
/// A channel without timecode is looked at for a fiftieth of a second in every sixth of one, which costs next to
/// nothing; one with timecode is read whole.
/// </remarks>
public sealed class LtcListener(int channels) : ISoundListener
{
    private readonly ChannelReader[] _readers = new ChannelReader[channels];

    public void Hear(SoundBlock block)
    {
        for (int channel = 0; channel < channels; channel++)
        {
            _readers[channel] ??= new ChannelReader(block.SampleRateHz);
            _readers[channel].Hear(block.Full(channel));
        }
    }

    public void Finish()
    {
        foreach (ChannelReader? reader in _readers)
        {
            reader?.Finish();
        }
    }

    /// <summary>Timecode of a channel; null where there is none. To be asked when the sound is over.</summary>
    public LtcTrack? Of(int channel) => _readers[channel]?.Track(channel);

    private sealed class ChannelReader(int rateHz)
    {
        private const int ProbesApart = 8;

        /// <summary>After so many seconds without a word the gate is asked again.</summary>
        private const double LostAfterSeconds = 0.5;

        private readonly LtcGate _gate = new(rateHz);
        private readonly BiphaseDecoder _decoder = new();
        private readonly LtcRunBuilder _runs = new(rateHz);
        private readonly List<LtcWord> _words = [];
        private long _heard;
        private double _lastWord;
        private bool _isOpen;

        internal void Hear(ReadOnlySpan<float> samples)
        {
            int step = _gate.Samples * ProbesApart;
            for (int done = 0; done < samples.Length; done += step)
            {
                Step(samples.Slice(done, Math.Min(step, samples.Length - done)));
            }
        }

        internal void Finish() => _runs.End();

        internal LtcTrack? Track(int channel) => _runs.Runs.Count == 0
            ? null
            : new LtcTrack(channel, rateHz, _runs.Runs, _runs.CoveredSamples / _heard);

        private void Step(ReadOnlySpan<float> samples)
        {
            if (!_isOpen && samples.Length >= _gate.Samples && _gate.BitSamples(samples) is { } bit)
            {
                _decoder.Start(bit);
                _isOpen = true;
                _lastWord = _heard;
            }

            if (_isOpen)
            {
                Read(samples);
            }

            _heard += samples.Length;
        }

        private void Read(ReadOnlySpan<float> samples)
        {
            _decoder.Read(samples, _heard, _words);
            foreach (LtcWord word in _words)
            {
                _runs.Add(word);
                _lastWord = word.EndSample;
            }

            _words.Clear();
            _isOpen = _heard + samples.Length - _lastWord < LostAfterSeconds * rateHz;
        }
    }
}
