using SyncBench.Alignment;
using SyncBench.Media;

namespace SyncBench.Selection;

/// <summary>All that the choice of mic has to hear of one clip, as one listener.</summary>
public sealed class SelectionListeners(int channels) : ISoundListener
{
    private readonly BandLevelMeter _bands = new(channels);
    private readonly MicMeter _mics = new(channels);
    private readonly LineMeter _lines = new(channels);

    /// <exception cref="InvalidOperationException">The sound is not over.</exception>
    public ClipSound Sound => new(
        [.. Enumerable.Range(0, channels).Select(_bands.Of)],
        [.. Enumerable.Range(0, channels).Select(_mics.Of)],
        [.. Enumerable.Range(0, channels).Select(channel => HumDetector.Of(_lines.Of(channel)))]);

    public void Hear(SoundBlock block)
    {
        _bands.Hear(block);
        _mics.Hear(block);
        _lines.Hear(block);
    }

    public void Finish()
    {
        _bands.Finish();
        _mics.Finish();
        _lines.Finish();
    }
}
