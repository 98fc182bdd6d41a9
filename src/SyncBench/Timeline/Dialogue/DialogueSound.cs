using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Selection;
using SyncBench.Signal.Loudness;
using SyncBench.Time;

namespace SyncBench.Timeline.Dialogue;

/// <summary>A change of mic in a rendered dialogue.</summary>
/// <param name="First">First sample of the crossfade.</param>
/// <param name="Samples">Its length; 0 where one mic stops before the other starts.</param>
/// <param name="Correlation">Of the two mics within the crossfade, −1 to 1.</param>
internal sealed record DialogueChange(long First, int Samples, double Correlation, MicSource From, MicSource To);

/// <summary>A take's dialogue, rendered and measured, ready to be written.</summary>
/// <param name="TimeReference">Samples from midnight to its first, by the timeline's timecode.</param>
/// <param name="Gain">Applied to all of it, so that no true peak passes the ceiling; at most 1.</param>
/// <param name="Loudness">As it will be in the file, the gain included.</param>
internal sealed record DialogueSound(
    Take Take, long TimeReference, MediaTime CommonStart, DialogueTrack Track, ImmutableArray<DialogueChange> Changes,
    double Gain, LoudnessFigures Loudness) : IDisposable
{
    public void Dispose() => Track.Dispose();
}
