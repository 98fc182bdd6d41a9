using System.Collections.Immutable;
using System.Globalization;
using System.Text.RegularExpressions;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Intake;

/// <param name="Set">Names the set.</param>
/// <param name="Number">As the file name has it, else the place in the order of names.</param>
/// <param name="Place">0-based, in the order of numbers.</param>
/// <param name="Of">Files in the set.</param>
internal sealed record MonoTrack(string Set, int Number, int Place, int Of);

/// <summary>
/// Recorders that write a file for each mic. Where they number the set in the iXML chunk, that tells it. Else it is mono files of
/// one folder whose names differ in the track's number alone, and which are of one length and of one beginning. Where they do
/// not tell their beginning the name must call the number a track: the pieces of a split recording are of one length too. Two
/// files of one device never overlap, so each track is a device of its own, named after the recorder.
/// </summary>
internal static partial class MonoSets
{
    internal static ImmutableDictionary<MediaFile, MonoTrack> Find(IReadOnlyList<MediaInfo> media)
    {
        MediaInfo[] mono = [.. media.Where(m => m.Video.IsEmpty && m.Channels == 1)];
        ILookup<bool, MediaInfo> isStated = mono.ToLookup(m => m.Notes?.Family is not null);
        return isStated[true]
            .GroupBy(m => (m.File.Folder, Name: m.Notes!.Family!, Beginning: Beginning(m)))
            .Concat(isStated[false]
                .Where(m => TrackNumber().Match(Stem(m)) is { Success: true } track
                    && (m.TimeReference is not null || track.Groups["word"].Length > 0))
                .GroupBy(m => (m.File.Folder, Name: TrackNumber().Replace(Stem(m), string.Empty), Beginning: Beginning(m)))
                .Where(set => set.Select(Number).Distinct().Count() == set.Count()))
            .Where(set => set.Skip(1).Any())
            .SelectMany(set => Tracks($"{set.Key.Folder}/{set.Key.Name}/{set.Key.Beginning.TimeReference}", [.. set]))
            .ToImmutableDictionary();
    }

    private static IEnumerable<KeyValuePair<MediaFile, MonoTrack>> Tracks(string name, MediaInfo[] set)
    {
        bool isNumbered = set.All(m => TrackNumber().IsMatch(Stem(m))) && set.Select(Number).Distinct().Count() == set.Length;
        return set
            .OrderBy(m => isNumbered ? Number(m) : 0)
            .ThenBy(m => m.File.Path, StringComparer.Ordinal)
            .Select((m, place) => KeyValuePair.Create(m.File, new MonoTrack(name, isNumbered ? Number(m) : place + 1, place, set.Length)));
    }

    private static (long Samples, long? TimeReference, int SampleRateHz) Beginning(MediaInfo media) =>
        (media.Duration.ToNearestUnit(new Rate(media.Audio[0].SampleRateHz)), media.TimeReference, media.Audio[0].SampleRateHz);

    private static int Number(MediaInfo media) =>
        int.Parse(TrackNumber().Match(Stem(media)).Groups["track"].ValueSpan, NumberStyles.None, CultureInfo.InvariantCulture);

    private static string Stem(MediaInfo media) => Path.GetFileNameWithoutExtension(media.File.Name);

    /// <summary>A number of one or two digits at the end of the name, set off from the take's: "_1", "-02", "_Tr3", " CH4", ".2" (common practice).</summary>
    [GeneratedRegex("[_ .-](?<word>tr|track|ch|mic)?[_-]?(?<track>[0-9]{1,2})$", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.NonBacktracking)]
    private static partial Regex TrackNumber();
}
