using System.Globalization;
using System.Xml.Linq;

namespace SyncBench.Intake.Integrity;

/// <summary>Writes an ASC MHL manifest, its elements in the order of the standard's schema.</summary>
internal static class MhlWriter
{
    private static readonly XNamespace Ns = MhlXml.Manifest;

    /// <summary>The order in which the schema wants the checksums of one file.</summary>
    private static readonly HashKind[] SchemaOrder =
        [HashKind.C4, HashKind.Md5, HashKind.Sha1, HashKind.Xxh128, HashKind.Xxh3, HashKind.Xxh64];

    internal static byte[] Write(MhlManifest manifest) => MhlXml.Bytes(new XElement(
        Ns + "hashlist",
        new XAttribute("version", "2.0"),
        new XElement(
            Ns + "creatorinfo",
            new XElement(Ns + "creationdate", MhlXml.Time(manifest.CreatedAt)),
            new XElement(Ns + "hostname", manifest.HostName),
            new XElement(Ns + "tool", new XAttribute("version", manifest.ToolVersion), manifest.Tool)),
        new XElement(
            Ns + "processinfo",
            new XElement(Ns + "process", "in-place"),
            manifest.Root is { } root ? Folder(root, "roothash", manifest.CreatedAt) : null,
            new XElement(Ns + "ignore", manifest.Ignore.Select(pattern => new XElement(Ns + "pattern", pattern)))),
        manifest.Files.IsEmpty
            ? null
            : new XElement(
                Ns + "hashes",
                manifest.Files.Select(file => File(file, manifest.CreatedAt)),
                manifest.Folders.Select(folder => Folder(folder, "directoryhash", manifest.CreatedAt)))));

    private static XElement File(MhlFile file, DateTimeOffset at) => new(
        Ns + "hash",
        new XElement(
            Ns + "path",
            file.Bytes is { } bytes ? new XAttribute("size", bytes.ToString(CultureInfo.InvariantCulture)) : null,
            file.LastModified is { } modified ? new XAttribute("lastmodificationdate", MhlXml.Time(modified)) : null,
            file.Path),
        file.Hashes.OrderBy(hash => Array.IndexOf(SchemaOrder, hash.Hash.Kind)).Select(hash => new XElement(
            Ns + hash.Hash.Kind.InMhl(),
            new XAttribute("action", hash.Action.ToString().ToLowerInvariant()),
            new XAttribute("hashdate", MhlXml.Time(at)),
            hash.Hash.Value)),
        file.PreviousPath is { } previous ? new XElement(Ns + "previousPath", previous) : null);

    private static XElement Folder(MhlFolder folder, string name, DateTimeOffset at) => new(
        Ns + name,
        name == "roothash" ? null : new XElement(Ns + "path", folder.Path),
        new XElement(Ns + "content", Value(folder.Content, at)),
        new XElement(Ns + "structure", Value(folder.Structure, at)));

    private static XElement Value(FileHash hash, DateTimeOffset at) =>
        new(Ns + hash.Kind.InMhl(), new XAttribute("hashdate", MhlXml.Time(at)), hash.Value);
}
