using System.Collections.Immutable;
using System.Globalization;
using System.Text.RegularExpressions;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Intake;

/// <param name="Number">As the file name has it.</param>
/// <param name="Of">Files in the set.</param>
internal sealed record MonoTrack(int Number, int Of);

/// <summary>
/// Recorders that write a file for each mic: mono files of one folder whose names differ in the track's number alone, and which
/// are of one length and of one beginning. Where they do not tell their beginning the name must call the number a track:
/// the pieces of a split recording are of one length too. Two files of one device never overlap, so each track is a
/// device of its own, named after the recorder.
/// </summary>
internal static partial class MonoSets
{
    internal static ImmutableDictionary<MediaFile, MonoTrack> Find(IReadOnlyList<MediaInfo> media) => media
        .Where(m => m.Video.IsEmpty && m.Channels == 1 && TrackNumber().Match(Stem(m)) is { Success: true } track
            && (m.TimeReference is not null || track.Groups["word"].Length > 0))
        .GroupBy(m => (
            m.File.Folder, Name: TrackNumber().Replace(Stem(m), string.Empty),
            Samples: m.Duration.ToNearestUnit(new Rate(m.Audio[0].SampleRateHz)), m.TimeReference, m.Audio[0].SampleRateHz))
        .Where(set => set.Select(Number).Distinct().Count() == set.Count() && set.Skip(1).Any())
        .SelectMany(set => set.Select(m => KeyValuePair.Create(m.File, new MonoTrack(Number(m), set.Count()))))
        .ToImmutableDictionary();

    private static int Number(MediaInfo media) =>
        int.Parse(TrackNumber().Match(Stem(media)).Groups["track"].ValueSpan, NumberStyles.None, CultureInfo.InvariantCulture);

    private static string Stem(MediaInfo media) => Path.GetFileNameWithoutExtension(media.File.Name);

    /// <summary>A number of one or two digits at the end of the name, set off from the take's: "_1", "-02", "_Tr3", " CH4", ".2" (common practice).</summary>
    [GeneratedRegex("[_ .-](?<word>tr|track|ch|mic)?[_-]?(?<track>[0-9]{1,2})$", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.NonBacktracking)]
    private static partial Regex TrackNumber();
}
