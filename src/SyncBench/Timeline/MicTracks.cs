using System.Globalization;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;

namespace SyncBench.Timeline;

/// <summary>Every mic with all files that it was recorded in: a track of the timeline, a channel of the file of all mics.</summary>
internal static class MicTracks
{
    /// <summary>By role, then by device and channel.</summary>
    internal static IEnumerable<IGrouping<(Device Device, MicChannel Mic), MicSource>> Of(IEnumerable<Placement> placed) => placed
        .SelectMany(placement => placement.Clip.SpeechMics.Select(mic => new MicSource(placement, mic)))
        .GroupBy(source => (source.Clip.Device, source.Mic))
        .OrderBy(mic => mic.Key.Mic.Role)
        .ThenBy(mic => mic.Key.Device.Name, StringComparer.Ordinal)
        .ThenBy(mic => mic.Key.Mic.Channel);

    /// <summary>"lavalier (RECORDER channel 1)": tells which channel to choose where a reader knows nothing but names.</summary>
    internal static string Name((Device Device, MicChannel Mic) of) =>
        string.Create(CultureInfo.InvariantCulture, $"{of.Mic.Role.InWords()} ({of.Device.Name} channel {of.Mic.Channel + 1})");
}
