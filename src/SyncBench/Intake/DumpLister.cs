using System.Collections.Immutable;
using SyncBench.Media;

namespace SyncBench.Intake;

/// <summary>Finds every file of a dump. Links are not followed: a card has none, so one could only lead out.</summary>
public static class DumpLister
{
    /// <summary>Where ASC MHL keeps its manifests.</summary>
    public const string ManifestFolder = "ascmhl";

    private static readonly string[] SystemNames =
        ["Thumbs.db", "desktop.ini", "System Volume Information", "$RECYCLE.BIN"];

    /// <exception cref="DirectoryNotFoundException">There is no such folder.</exception>
    /// <exception cref="UnauthorizedAccessException">The folder itself may not be read.</exception>
    public static DumpListing List(string folder)
    {
        var root = new DirectoryInfo(Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder)));
        return root.Exists ? new Walk(root).Listing() : throw new DirectoryNotFoundException(root.FullName);
    }

    private static bool IsSystem(string name) =>
        name.StartsWith('.') || SystemNames.Contains(name, StringComparer.OrdinalIgnoreCase);

    private sealed class Walk(DirectoryInfo root)
    {
        private readonly List<MediaFile> _files = [];
        private readonly List<MediaFile> _hidden = [];
        private readonly List<string> _manifestFolders = [];
        private readonly List<RefusedEntry> _refused = [];
        private int _ignored;

        internal DumpListing Listing()
        {
            var folders = new Stack<(DirectoryInfo Folder, bool Hidden)>([(root, false)]);
            while (folders.TryPop(out (DirectoryInfo Folder, bool Hidden) next))
            {
                foreach (FileSystemInfo entry in Entries(next.Folder))
                {
                    if (entry.LinkTarget is not null)
                    {
                        Refuse(entry, "a link, which is not followed because it may lead out of the dump: copy what it points to");
                    }
                    else if (entry is DirectoryInfo inner)
                    {
                        Enter(inner, next.Hidden, folders);
                    }
                    else if (entry is FileInfo file)
                    {
                        Take(file, next.Hidden || IsSystem(file.Name));
                    }
                }
            }

            return new DumpListing(root.FullName, InOrder(_files), _ignored)
            {
                Hidden = InOrder(_hidden),
                ManifestFolders = [.. _manifestFolders.Order(StringComparer.Ordinal)],
                Refused = [.. _refused.OrderBy(entry => entry.Path, StringComparer.Ordinal)],
            };
        }

        private FileSystemInfo[] Entries(DirectoryInfo folder)
        {
            try
            {
                return folder.GetFileSystemInfos();
            }
            catch (Exception closed) when (folder != root && closed is IOException or UnauthorizedAccessException)
            {
                _refused.Add(new RefusedEntry(
                    PathOf(folder),
                    closed is UnauthorizedAccessException
                        ? "the folder may not be read: change its permissions, then run again"
                        : "the folder cannot be read or is gone: check the disk's connection, then run again",
                    HidesFiles: true));
                return [];
            }
        }

        private void Enter(DirectoryInfo folder, bool inHidden, Stack<(DirectoryInfo Folder, bool Hidden)> folders)
        {
            bool hidden = inHidden || IsSystem(folder.Name);
            if (!hidden && folder.Name == ManifestFolder)
            {
                _manifestFolders.Add(PathOf(folder));
                return;
            }

            folders.Push((folder, hidden));
        }

        private void Take(FileInfo file, bool hidden)
        {
            try
            {
                if (SpecialFile.Is(file))
                {
                    Refuse(file, "a pipe or a device, not a file: it was not opened");
                    return;
                }

                (hidden ? _hidden : _files).Add(new MediaFile(PathOf(file), file.FullName, file.Length));
                _ignored += hidden ? 1 : 0;
            }
            catch (IOException)
            {
                _refused.Add(new RefusedEntry(
                    PathOf(file), "the file was removed while the dump was listed: check that the copy has ended, then run again", HidesFiles: true));
            }
        }

        private void Refuse(FileSystemInfo entry, string problem)
        {
            _ignored++;
            _refused.Add(new RefusedEntry(PathOf(entry), problem, HidesFiles: false));
        }

        private string PathOf(FileSystemInfo entry) =>
            Path.GetRelativePath(root.FullName, entry.FullName).Replace(Path.DirectorySeparatorChar, '/');

        private static ImmutableArray<MediaFile> InOrder(List<MediaFile> files) =>
            [.. files.OrderBy(file => file.Path, StringComparer.Ordinal)];
    }
}
