using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Intake;

/// <summary>What lies beside recordings on a card: proxies, thumbnails, sidecars, numbered stills. Each is told by what it holds.</summary>
public static partial class Companions
{
    /// <summary>A proxy has at most two thirds of the original's width (common practice: a half or a quarter).</summary>
    private const double WidestProxy = 0.7;

    private static readonly MediaTime SameLength = MediaTime.FromSeconds(0.1);

    /// <summary>Fewer numbered pictures are single photographs.</summary>
    private const int FewestStills = 10;

    private const int SniffedBytes = 512;

    /// <returns>Each low-resolution copy with the recording that it stands for.</returns>
    public static ImmutableDictionary<MediaFile, MediaFile> Proxies(IReadOnlyCollection<MediaInfo> media)
    {
        var found = ImmutableDictionary.CreateBuilder<MediaFile, MediaFile>();
        ILookup<string, MediaInfo> byStem = media.Where(m => !m.Video.IsEmpty && !m.IsStill).ToLookup(m => Stem(m.File), StringComparer.OrdinalIgnoreCase);
        foreach (MediaInfo small in byStem.SelectMany(same => same))
        {
            MediaInfo? original = byStem[Stem(small.File)].Where(large => IsProxyOf(small, large)).MaxBy(large => large.Video[0].Width);
            if (original is not null)
            {
                found[small.File] = original.File;
            }
        }

        return found.ToImmutable();
    }

    /// <summary>Of stills: whether one is a recording's thumbnail, or one of a numbered sequence.</summary>
    public static ImmutableDictionary<MediaFile, string> Stills(IReadOnlyCollection<MediaInfo> stills, IReadOnlyCollection<MediaInfo> recordings)
    {
        var sequences = stills
            .GroupBy(still => (still.File.Folder, Digits().Replace(still.File.Name, "#"), still.Video.FirstOrDefault()?.Width, still.Video.FirstOrDefault()?.Height))
            .Where(alike => alike.Count() >= FewestStills)
            .SelectMany(alike => alike.Select(still => KeyValuePair.Create(still.File, string.Create(
                CultureInfo.InvariantCulture, $"one of {alike.Count()} numbered stills: a time lapse or a sequence of pictures"))))
            .ToDictionary();
        return stills.ToImmutableDictionary(
            still => still.File,
            still => RecordingOf(still.File, recordings) is { } recording ? $"the thumbnail of {recording.Path}"
                : sequences.GetValueOrDefault(still.File) ?? "a still picture");
    }

    /// <summary>What a file is that holds neither picture nor sound, by its first bytes.</summary>
    public static string Sidecar(MediaFile file, IReadOnlyCollection<MediaInfo> recordings)
    {
        string kind = Kind(file);
        return RecordingOf(file, recordings) is { } recording ? $"a sidecar of {recording.Path} ({kind})" : $"not a recording ({kind})";
    }

    private static bool IsProxyOf(MediaInfo small, MediaInfo large) =>
        small.Video[0].Width > 0 && small.Video[0].Width <= WidestProxy * large.Video[0].Width
        && MediaTime.Abs(small.Duration - large.Duration) <= SameLength
        && (small.StartTimecode is null || large.StartTimecode is null || small.StartTimecode == large.StartTimecode);

    private static MediaFile? RecordingOf(MediaFile file, IReadOnlyCollection<MediaInfo> recordings) => recordings
        .Where(recording => recording.File != file && recording.File.TopFolder == file.TopFolder
            && Stem(file).StartsWith(Stem(recording.File), StringComparison.OrdinalIgnoreCase))
        .MaxBy(recording => Stem(recording.File).Length)?.File;

    private static string Kind(MediaFile file)
    {
        byte[] head = new byte[SniffedBytes];
        try
        {
            using var handle = File.OpenHandle(file.FullPath);
            head = head[..RandomAccess.Read(handle, head, 0)];
        }
        catch (Exception closed) when (closed is IOException or UnauthorizedAccessException)
        {
            return "it cannot be read";
        }

        string text = Encoding.Latin1.GetString(head).TrimStart('\u00EF', '\u00BB', '\u00BF', ' ', '\r', '\n', '\t');
        return head.Length == 0 ? "empty"
            : text.StartsWith('<') ? "XML"
            : text.StartsWith('{') || text.StartsWith('[') ? "JSON"
            : head.Contains((byte)0) ? "data of its own kind"
            : "text";
    }

    /// <summary>Name without ending and without what proxies add to it (common practice: "_proxy", "S03", "_LR").</summary>
    private static string Stem(MediaFile file) => ProxyWords().Replace(Path.GetFileNameWithoutExtension(file.Name), string.Empty);

    [GeneratedRegex("([_-]?(proxy|lr|low)|S[0-9][0-9])$", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.NonBacktracking)]
    private static partial Regex ProxyWords();

    [GeneratedRegex("[0-9]+", RegexOptions.CultureInvariant | RegexOptions.NonBacktracking)]
    private static partial Regex Digits();
}
