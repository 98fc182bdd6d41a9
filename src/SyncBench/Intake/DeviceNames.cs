using System.Collections.Immutable;
using System.Text.RegularExpressions;
using SyncBench.Media;

namespace SyncBench.Intake;

/// <summary>A device's name, and by what it was told from others.</summary>
internal sealed record NamedDevice(string Name, string Reason);

/// <summary>
/// Tells devices apart where no settings do. Within a folder, files are of one device that agree in kind, in how their names
/// begin, and in maker and model; a file that does not say its maker goes with those whose names begin alike.
/// </summary>
internal static partial class DeviceNames
{
    /// <returns>In the order of <paramref name="media"/>.</returns>
    internal static ImmutableArray<NamedDevice> Of(IReadOnlyList<MediaInfo> media, ImmutableDictionary<MediaFile, MonoTrack> sets)
    {
        ILookup<string, MediaInfo> folders = media.ToLookup(m => m.File.TopFolder, StringComparer.Ordinal);
        return [.. media.Select(m => Of(m, folders[m.File.TopFolder].ToArray(), sets.GetValueOrDefault(m.File)))];
    }

    private static NamedDevice Of(MediaInfo media, MediaInfo[] folderMates, MonoTrack? track)
    {
        string folder = media.File.TopFolder, series = Series(media);
        string? maker = Maker(media, folderMates);
        bool isAlone = folderMates.All(m => Kind(m) == Kind(media) && Series(m) == series && Maker(m, folderMates) == maker);
        bool makerTells = folderMates.Any(m => Kind(m) == Kind(media) && Series(m) == series && Maker(m, folderMates) != maker);
        string[] parts =
        [
            folder,
            isAlone && folder.Length > 0 ? string.Empty : series,
            makerTells ? maker ?? string.Empty : string.Empty,
            OfTrack(track),
        ];
        string name = string.Join(' ', parts.Where(part => part.Length > 0));
        string why = folder.Length > 0 ? $"folder \"{folder}\"" : $"file name \"{series}…\"";
        return new NamedDevice(
            name.Length > 0 ? name : media.File.Name,
            why + (makerTells && maker is not null ? $", made by \"{maker}\"" : string.Empty)
                + InWords(track));
    }

    /// <summary>What a track of a set adds to the name of its recorder; empty where the file is none.</summary>
    internal static string OfTrack(MonoTrack? track) => track is null ? string.Empty : $"track {track.Number}";

    /// <summary>What goes behind the reason for the device; empty where the file is no track of a set.</summary>
    internal static string InWords(MonoTrack? track) =>
        track is null ? string.Empty : $", one of {track.Of} mono files of one recording";

    internal static DeviceKind Kind(MediaInfo media) => media.Video.IsEmpty ? DeviceKind.Recorder : DeviceKind.Camera;

    private static string? Maker(MediaInfo media, MediaInfo[] folderMates)
    {
        if (media.MadeBy is not null)
        {
            return media.MadeBy;
        }

        string[] ofSeries = [.. folderMates.Where(m => Kind(m) == Kind(media) && Series(m) == Series(media) && m.MadeBy is not null)
            .Select(m => m.MadeBy!).Distinct(StringComparer.Ordinal)];
        string[] ofFormat = [.. folderMates.Where(m => Series(m) == Series(media) && m.MadeBy is not null && m.IsAlike(media))
            .Select(m => m.MadeBy!).Distinct(StringComparer.Ordinal)];
        return ofSeries.Length == 1 ? ofSeries[0] : ofFormat.Length == 1 ? ofFormat[0] : null;
    }

    /// <summary>
    /// How a name begins, up to its first number: cards number clips in the middle of names as well as at their end, and what
    /// follows the numbers may be another for each clip.
    /// </summary>
    internal static string Series(MediaInfo media)
    {
        string stem = Path.GetFileNameWithoutExtension(media.File.Name);
        string series = UpToNumber().Match(stem).Value.TrimEnd('_', '-', ' ', '.');
        return series.Length > 0 ? series : Path.GetExtension(media.File.Name).TrimStart('.');
    }

    [GeneratedRegex("^[^0-9]*", RegexOptions.CultureInvariant | RegexOptions.NonBacktracking)]
    private static partial Regex UpToNumber();
}
