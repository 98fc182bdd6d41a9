using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Signal.Loudness;

namespace SyncBench.Selection;

/// <summary>What loudness and level of one channel of a clip are computed from, on the clip's clock.</summary>
public sealed record ChannelLoudness(LoudnessTrack Track, ActiveSpeech Speech);

/// <summary>Measures loudness and active speech level of every channel of one clip as its sound streams by.</summary>
/// <remarks>Each channel is measured as a programme of its own: BS.1770 counts one channel once.</remarks>
public sealed class ClipLoudness(int channels) : ISoundListener
{
    private readonly ActiveSpeechMeter[] _speech =
        [.. Enumerable.Range(0, channels).Select(_ => new ActiveSpeechMeter(SoundBlock.AnalysisRate.Numerator))];

    private LoudnessMeter[] _loudness = [];
    private ImmutableArray<ChannelLoudness> _results;

    public void Hear(SoundBlock block)
    {
        if (_loudness.Length == 0)
        {
            _loudness = [.. Enumerable.Range(0, channels).Select(_ => new LoudnessMeter(block.SampleRateHz))];
        }

        for (int channel = 0; channel < channels; channel++)
        {
            _loudness[channel].Add(block.Full(channel));
            _speech[channel].Add(block.Analysis(channel));
        }
    }

    public void Finish()
    {
        _results = _loudness.Length == 0
            ? [.. _speech.Select(speech => new ChannelLoudness(new LoudnessTrack([], []), speech.Result()))]
            : [.. _loudness.Zip(_speech, (loudness, speech) => new ChannelLoudness(loudness.Finish(), speech.Result()))];
    }

    /// <summary>One for each channel.</summary>
    /// <exception cref="InvalidOperationException">The sound is not over.</exception>
    public ImmutableArray<ChannelLoudness> Results => _results.IsDefault
        ? throw new InvalidOperationException("Loudness is ready when the sound is over.")
        : _results;
}
