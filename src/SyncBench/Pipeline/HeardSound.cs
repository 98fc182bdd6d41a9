using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Media.Ltc;
using SyncBench.Selection;

namespace SyncBench.Pipeline;

/// <summary>What one pass over a file's sound found. It depends on the file alone, on no setting.</summary>
/// <param name="Timecode">When it began by its own timecode; null where it has none.</param>
/// <param name="TimecodeChannels">0-based channels that carry timecode throughout.</param>
/// <param name="Samples">At the analysis rate; the caller disposes of them.</param>
/// <param name="Problem">What broke off or was damaged on the way; null where all went well.</param>
internal sealed record HeardSound(
    StartClock? Timecode, ImmutableArray<int> TimecodeChannels, ClipSound Sound, SoundStore Samples, string? Problem)
{
    internal static async Task<HeardSound> ReadAsync(
        MediaInfo media, SoundStore samples, IProgress<Time.MediaTime>? progress, CancellationToken cancellation)
    {
        int channels = media.Channels;
        var listeners = new SelectionListeners(channels);
        var loudness = new ClipLoudness(channels);
        var timecode = new LtcListener(channels);
        SoundReading reading = await SoundReader.ReadAsync(media, [listeners, loudness, samples, timecode], progress, cancellation);
        LtcTrack[] heard = [.. Enumerable.Range(0, channels).Select(timecode.Of).OfType<LtcTrack>()];
        return new HeardSound(
            StartClock.Of(media, heard),
            [.. heard.Where(track => track.FillsTheChannel).Select(track => track.Channel)],
            listeners.Sound with { Loudness = loudness.Results, Samples = samples },
            samples, reading.Problem);
    }
}
