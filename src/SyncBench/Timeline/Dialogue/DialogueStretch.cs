using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Timeline.Dialogue;

/// <summary>How a stretch begins or ends.</summary>
internal enum Edge
{
    /// <summary>Out of or into silence, over a few milliseconds.</summary>
    Fade,

    /// <summary>It overlaps its neighbour.</summary>
    Crossfade,

    /// <summary>One recording in two files: the neighbour goes on with the next sample.</summary>
    Join,
}

/// <summary>A stretch of a dialogue from one mic, crossfades included, in samples of the file to be written.</summary>
/// <param name="Gain">What brings the mic to the level of the take's main one.</param>
/// <param name="MicTime">Time in the clip's file of <paramref name="First"/>.</param>
internal sealed record DialogueStretch(
    MicSource Source, double Gain, long First, long End, Edge Begins, Edge Ends, MediaTime MicTime)
{
    internal long Count => End - First;
}
