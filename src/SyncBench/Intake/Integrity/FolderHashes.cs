using System.Collections.Immutable;
using System.Text;

namespace SyncBench.Intake.Integrity;

/// <summary>
/// Checksums of folders: one of what their files hold, whatever they are called, and one of how files and names are arranged.
/// </summary>
/// <remarks>
/// ASC MHL 1.0: content = H(the children's checksums as bytes, sorted by their text), structure = the same over
/// H(UTF-8 of a child's name, then the bytes of a file's checksum or of a folder's structure checksum).
/// </remarks>
internal static class FolderHashes
{
    /// <param name="files">Path and checksum, all of one kind.</param>
    /// <returns>Every folder with files in it, in ordinal order of path; the top has the empty path and stands first.</returns>
    internal static ImmutableArray<MhlFolder> Of(HashKind kind, IEnumerable<(string Path, FileHash Hash)> files)
    {
        var top = new Node(string.Empty);
        foreach ((string path, FileHash hash) in files)
        {
            string[] parts = path.Split('/');
            Node folder = top;
            foreach (string name in parts[..^1])
            {
                folder = folder.Folder(name);
            }

            folder.Files[parts[^1]] = hash;
        }

        var all = ImmutableArray.CreateBuilder<MhlFolder>();
        Add(kind, top, all);
        all.Sort((left, right) => string.CompareOrdinal(left.Path, right.Path));
        return all.ToImmutable();
    }

    private static MhlFolder Add(HashKind kind, Node node, ImmutableArray<MhlFolder>.Builder all)
    {
        (string Name, MhlFolder Folder)[] inner = [.. node.Folders.Select(folder => (folder.Key, Add(kind, folder.Value, all)))];
        FileHash content = Combined(kind, [.. node.Files.Values, .. inner.Select(folder => folder.Folder.Content)]);
        FileHash structure = Combined(kind,
        [
            .. node.Files.Select(file => Named(kind, file.Key, file.Value)),
            .. inner.Select(folder => Named(kind, folder.Name, folder.Folder.Structure)),
        ]);
        var whole = new MhlFolder(node.Path, content, structure);
        all.Add(whole);
        return whole;
    }

    private static FileHash Named(HashKind kind, string name, FileHash hash) =>
        RunningHash.Of(kind, [.. Encoding.UTF8.GetBytes(name), .. Bytes(hash)]);

    private static FileHash Combined(HashKind kind, FileHash[] hashes) => RunningHash.Of(
        kind, [.. hashes.OrderBy(hash => hash.Value, StringComparer.Ordinal).SelectMany(Bytes)]);

    private static byte[] Bytes(FileHash hash) =>
        hash.Kind == HashKind.C4 ? C4Id.ToSha512(hash.Value)! : Convert.FromHexString(hash.Value);

    private sealed class Node(string path)
    {
        internal string Path { get; } = path;

        internal SortedDictionary<string, FileHash> Files { get; } = new(StringComparer.Ordinal);

        internal SortedDictionary<string, Node> Folders { get; } = new(StringComparer.Ordinal);

        internal Node Folder(string name)
        {
            if (!Folders.TryGetValue(name, out Node? folder))
            {
                folder = new Node(Path.Length == 0 ? name : $"{Path}/{name}");
                Folders[name] = folder;
            }

            return folder;
        }
    }
}
