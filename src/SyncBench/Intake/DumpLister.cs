using System.Collections.Immutable;
using SyncBench.Media;

namespace SyncBench.Intake;

/// <summary>Finds every file of a dump. Links are not followed: a card has none, so one could only lead out.</summary>
public static class DumpLister
{
    private static readonly string[] SystemNames =
        ["Thumbs.db", "desktop.ini", "System Volume Information", "$RECYCLE.BIN"];

    /// <exception cref="DirectoryNotFoundException">There is no such folder.</exception>
    /// <exception cref="UnauthorizedAccessException">A folder of the dump may not be read.</exception>
    public static DumpListing List(string folder)
    {
        var root = new DirectoryInfo(Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder)));
        if (!root.Exists)
        {
            throw new DirectoryNotFoundException(root.FullName);
        }

        var files = ImmutableArray.CreateBuilder<MediaFile>();
        int ignored = 0;
        var folders = new Stack<DirectoryInfo>([root]);
        while (folders.TryPop(out DirectoryInfo? next))
        {
            foreach (FileSystemInfo entry in next.EnumerateFileSystemInfos())
            {
                if (entry.LinkTarget is not null || IsSystem(entry.Name))
                {
                    ignored++;
                }
                else if (entry is DirectoryInfo inner)
                {
                    folders.Push(inner);
                }
                else if (entry is FileInfo file)
                {
                    string path = Path.GetRelativePath(root.FullName, file.FullName);
                    files.Add(new MediaFile(path.Replace(Path.DirectorySeparatorChar, '/'), file.FullName, file.Length));
                }
            }
        }

        files.Sort((left, right) => string.CompareOrdinal(left.Path, right.Path));
        return new DumpListing(root.FullName, files.ToImmutable(), ignored);
    }

    private static bool IsSystem(string name) =>
        name.StartsWith('.') || SystemNames.Contains(name, StringComparer.OrdinalIgnoreCase);
}
