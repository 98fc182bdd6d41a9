using System.Globalization;
using SyncBench.Media;

namespace SyncBench.Timeline;

/// <summary>
/// Reel names of a timeline's files: up to eight letters and digits, no two alike, the same in every list. A name is the
/// file's own as far as it goes.
/// </summary>
internal sealed class EdlReels
{
    internal const int Length = 8;

    /// <summary>Names that mean something to readers of lists: no tape, black, bars.</summary>
    private static readonly string[] Reserved = ["AX", "BL", "BLACK", "BARS"];

    private readonly Dictionary<string, string> _reelOfPath = new(StringComparer.Ordinal);

    internal EdlReels(TimelineModel timeline)
    {
        var taken = new HashSet<string>(Reserved, StringComparer.Ordinal);
        IEnumerable<MediaFile> files = timeline.Tracks
            .SelectMany(track => track.Items)
            .Select(item => item.Clip.File)
            .DistinctBy(file => file.Path)
            .OrderBy(file => file.Path, StringComparer.Ordinal);
        foreach (MediaFile file in files)
        {
            _reelOfPath.Add(file.Path, Name(file, taken));
        }
    }

    internal string this[MediaFile file] => _reelOfPath[file.Path];

    private static string Name(MediaFile file, HashSet<string> taken)
    {
        string stem = string.Concat(Path.GetFileNameWithoutExtension(file.Name).Where(char.IsAsciiLetterOrDigit))
            .ToUpperInvariant();
        string name = stem.Length == 0 ? "CLIP" : stem;
        string reel = name[..Math.Min(Length, name.Length)];
        for (int n = 2; !taken.Add(reel); n++)
        {
            string number = n.ToString(CultureInfo.InvariantCulture);
            reel = name[..Math.Min(Length - number.Length, name.Length)] + number;
        }

        return reel;
    }
}
