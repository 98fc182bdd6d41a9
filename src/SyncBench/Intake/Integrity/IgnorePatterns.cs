using System.Collections.Immutable;
using System.Text;
using System.Text.RegularExpressions;

namespace SyncBench.Intake.Integrity;

/// <summary>
/// Names that a manifest leaves out, in the syntax of gitignore (ASC MHL 1.0, appendix C): the last pattern that matches
/// decides, "!" takes back, a pattern with a '/' before its end is bound to the top folder, one with a '/' at its end holds
/// for folders.
/// </summary>
internal sealed class IgnorePatterns
{
    /// <summary>What the standard leaves out, what we pass over as a listing does, and what systems strew over disks.</summary>
    internal static readonly ImmutableArray<string> Usual =
        [".DS_Store", "ascmhl", "ascmhl/", ".*", "Thumbs.db", "desktop.ini", "System Volume Information/", "$RECYCLE.BIN/"];

    private readonly (Regex Path, bool Ignores, bool FoldersOnly)[] _patterns;

    internal IgnorePatterns(IEnumerable<string> patterns) =>
        _patterns = [.. patterns.Where(pattern => pattern.Trim('/', ' ').Length > 0 && !pattern.StartsWith('#')).Select(Understand)];

    /// <summary>Whether the file, or a folder above it, is left out.</summary>
    internal bool Ignores(string path)
    {
        for (int end = path.IndexOf('/', StringComparison.Ordinal); end >= 0; end = path.IndexOf('/', end + 1))
        {
            if (Decides(path[..end], isFolder: true))
            {
                return true;
            }
        }

        return Decides(path, isFolder: false);
    }

    private bool Decides(string path, bool isFolder)
    {
        bool ignores = false;
        foreach ((Regex pattern, bool adds, bool foldersOnly) in _patterns)
        {
            if ((isFolder || !foldersOnly) && ignores != adds && pattern.IsMatch(path))
            {
                ignores = adds;
            }
        }

        return ignores;
    }

    private static (Regex Path, bool Ignores, bool FoldersOnly) Understand(string pattern)
    {
        bool takesBack = pattern.StartsWith('!');
        string glob = takesBack ? pattern[1..] : pattern;
        bool foldersOnly = glob.EndsWith('/');
        glob = glob.TrimEnd('/');
        bool bound = glob.Contains('/', StringComparison.Ordinal);
        string prefix = bound ? "^" : "^(?:.*/)?";
        return (new Regex(prefix + Translate(glob.TrimStart('/')) + "$", RegexOptions.NonBacktracking | RegexOptions.Singleline | RegexOptions.CultureInvariant),
            !takesBack, foldersOnly);
    }

    private static string Translate(string glob)
    {
        var regex = new StringBuilder();
        for (int i = 0; i < glob.Length; i++)
        {
            if (glob[i..].StartsWith("**/", StringComparison.Ordinal))
            {
                regex.Append("(?:.*/)?");
                i += 2;
            }
            else if (glob[i..].StartsWith("**", StringComparison.Ordinal))
            {
                regex.Append(".*");
                i++;
            }
            else
            {
                regex.Append(glob[i] switch
                {
                    '*' => "[^/]*",
                    '?' => "[^/]",
                    _ => Regex.Escape(glob[i].ToString()),
                });
            }
        }

        return regex.ToString();
    }
}
