using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline.Dialogue;

/// <summary>Feeds the stretches that are taken from one clip, of whatever take and channel, from one reading of it.</summary>
internal sealed class ClipStretches(Clip clip, IReadOnlyList<DialogueMix.Slot> slots) : ISoundListener
{
    /// <summary>The resampler looks a little ahead.</summary>
    private static readonly MediaTime Ahead = MediaTime.FromMilliseconds(100);

    private StretchRendering[] _renderings = [];
    private long _position;

    internal Clip Clip => clip;

    /// <summary>Nothing behind this clip time is wanted.</summary>
    internal MediaTime Until { get; } = slots
        .Max(slot => slot.Stretch.MicTime + MediaTime.FromUnits(slot.Stretch.Count, Rate.Hz48000)) + Ahead;

    public bool HearsAnalysis => false;

    public void Hear(SoundBlock block)
    {
        if (_renderings.Length == 0)
        {
            _renderings = [.. slots.Select(slot => slot.Start(block.SampleRateHz))];
        }

        for (int i = 0; i < _renderings.Length; i++)
        {
            _renderings[i].Feed(block.Full(slots[i].Stretch.Source.Mic.Channel), _position);
        }

        _position += block.Full(0).Length;
    }

    public void Finish()
    {
        foreach (StretchRendering rendering in _renderings)
        {
            rendering.Finish();
        }
    }
}
