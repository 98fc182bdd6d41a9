using System.Collections.Immutable;
using System.Text.RegularExpressions;
using Microsoft.Extensions.FileSystemGlobbing;
using SyncBench.Media;

namespace SyncBench.Intake;

/// <summary>
/// Says of each file which device made it, which angle it shows and what each channel of its sound is: by the
/// settings where they speak, else by folder, name and kind of file.
/// </summary>
public static partial class RoleRules
{
    private static readonly string[] Angles = ["wide", "close", "medium", "side", "top"];

    /// <param name="media">All readable files of the dump: a folder with one kind of file names one device.</param>
    /// <returns>One clip a file, in the same order.</returns>
    public static ImmutableArray<Clip> Assign(IReadOnlyList<MediaInfo> media, DumpSettings settings)
    {
        (DeviceRule Rule, Matcher Glob)[] rules = [.. settings.Devices.Select(rule => (rule, Glob(rule.Match)))];
        ILookup<string, string> seriesOfFolder = media.ToLookup(m => TopFolder(m.File), Series, StringComparer.Ordinal);
        return
        [
            .. media.Select(m =>
                rules.FirstOrDefault(r => r.Glob.Match(m.File.Path).HasMatches).Rule is { } rule
                    ? ByRule(m, rule)
                    : ByName(m, seriesOfFolder[TopFolder(m.File)].Distinct(StringComparer.Ordinal).Count())),
        ];
    }

    private static Clip ByRule(MediaInfo media, DeviceRule rule)
    {
        DeviceKind kind = Kind(media);
        string? angle = kind == DeviceKind.Camera ? rule.Angle ?? Angle(media.File.Path) ?? rule.Name : null;
        var device = new Device(rule.Name, kind, angle, rule.DistanceM);
        ImmutableArray<MicRole> named = rule.Mics.IsDefault ? [] : rule.Mics;
        return new Clip(
            media, device, Mics(media, channel => channel < named.Length ? named[channel] : UsualRole(media)),
            $"settings rule \"{rule.Match}\"");
    }

    private static Clip ByName(MediaInfo media, int seriesInFolder)
    {
        DeviceKind kind = Kind(media);
        string folder = TopFolder(media.File);
        string series = Series(media);
        string name = (folder.Length, seriesInFolder) switch
        {
            (> 0, 1) => folder,
            (> 0, _) => $"{folder} {series}",
            _ => series,
        };
        var device = new Device(name, kind, kind == DeviceKind.Camera ? Angle(media.File.Path) ?? name : null, null);
        string why = folder.Length > 0 ? $"folder \"{folder}\"" : $"file name \"{series}…\"";
        return new Clip(media, device, Mics(media, _ => UsualRole(media)), why);
    }

    private static ImmutableArray<MicChannel> Mics(MediaInfo media, Func<int, MicRole> role) =>
        [.. Enumerable.Range(0, media.Channels).Select(channel => new MicChannel(channel, role(channel)))];

    private static DeviceKind Kind(MediaInfo media) =>
        media.Video.IsEmpty ? DeviceKind.Recorder : DeviceKind.Camera;

    private static MicRole UsualRole(MediaInfo media) => Kind(media) switch
    {
        DeviceKind.Camera => MicRole.Scratch,
        _ when Says(media.File.Path, "shotgun") || Says(media.File.Path, "boom") => MicRole.Shotgun,
        _ => MicRole.Lavalier,
    };

    private static string? Angle(string path) => Angles.FirstOrDefault(angle => Says(path, angle));

    private static bool Says(string path, string word) => path.Contains(word, StringComparison.OrdinalIgnoreCase);

    private static string TopFolder(MediaFile file) =>
        file.Path.IndexOf('/', StringComparison.Ordinal) is var end and > 0 ? file.Path[..end] : string.Empty;

    /// <summary>What the files of one device have in common: the name without its last running number.</summary>
    private static string Series(MediaInfo media)
    {
        string stem = Path.GetFileNameWithoutExtension(media.File.Name);
        string series = LastNumber().Replace(stem, string.Empty).TrimEnd('_', '-', ' ', '.');
        return series.Length > 0 ? series : Path.GetExtension(media.File.Name).TrimStart('.');
    }

    private static Matcher Glob(string pattern)
    {
        var glob = new Matcher(StringComparison.OrdinalIgnoreCase);
        glob.AddInclude(pattern);
        return glob;
    }

    [GeneratedRegex("[0-9]+$", RegexOptions.CultureInvariant | RegexOptions.NonBacktracking)]
    private static partial Regex LastNumber();
}
