using System.Collections.Immutable;
using System.Globalization;
using System.Xml.Linq;

namespace SyncBench.Intake.Integrity;

/// <summary>Reads an ASC MHL manifest. It comes from a card, so it may say anything.</summary>
internal static class MhlReader
{
    private static readonly XNamespace Ns = MhlXml.Manifest;

    /// <exception cref="MhlException">The bytes are no manifest of version 2.0, or a dangerous one.</exception>
    internal static MhlManifest Read(byte[] bytes)
    {
        XElement root = MhlXml.Read(bytes, Ns + "hashlist");
        if (root.Attribute("version")?.Value is { } version && version != "2.0")
        {
            throw new MhlException($"its version is {version}, not 2.0");
        }

        XElement? creator = root.Element(Ns + "creatorinfo"), process = root.Element(Ns + "processinfo"), hashes = root.Element(Ns + "hashes");
        XElement? tool = creator?.Element(Ns + "tool");
        ImmutableArray<MhlFile> files = [.. (hashes?.Elements(Ns + "hash") ?? []).Select(File)];
        if (files.GroupBy(file => file.Path, StringComparer.Ordinal).FirstOrDefault(same => same.Skip(1).Any()) is { } twice)
        {
            throw new MhlException($"it lists \"{twice.Key}\" twice");
        }

        return new MhlManifest(
            MhlXml.TimeOrNull(creator?.Element(Ns + "creationdate")?.Value) ?? default,
            creator?.Element(Ns + "hostname")?.Value ?? string.Empty,
            tool?.Value ?? string.Empty,
            tool?.Attribute("version")?.Value ?? string.Empty,
            [.. (process?.Element(Ns + "ignore")?.Elements(Ns + "pattern") ?? []).Select(pattern => pattern.Value)],
            process?.Element(Ns + "roothash") is { } whole ? Folder(whole, string.Empty) : null,
            files,
            [.. (hashes?.Elements(Ns + "directoryhash") ?? [])
                .Select(folder => Folder(folder, PathOf(folder))).OfType<MhlFolder>()]);
    }

    private static MhlFile File(XElement element)
    {
        XElement? path = element.Element(Ns + "path");
        ImmutableArray<MhlHash> hashes =
        [
            .. element.Elements()
                .Where(hash => hash.Name.Namespace == Ns && HashKindNames.Of(hash.Name.LocalName) is not null)
                .Select(hash => new MhlHash(
                    new FileHash(HashKindNames.Of(hash.Name.LocalName)!.Value, hash.Value.Trim()), Action(hash))),
        ];
        return new MhlFile(
            PathOf(element),
            long.TryParse(path?.Attribute("size")?.Value, NumberStyles.None, CultureInfo.InvariantCulture, out long bytes) ? bytes : null,
            MhlXml.TimeOrNull(path?.Attribute("lastmodificationdate")?.Value),
            hashes,
            element.Element(Ns + "previousPath") is { } previous ? Safe(previous.Value) : null);
    }

    private static MhlAction Action(XElement hash) => hash.Attribute("action")?.Value switch
    {
        "original" => MhlAction.Original,
        "verified" => MhlAction.Verified,
        "failed" => MhlAction.Failed,
        _ => throw new MhlException($"a checksum of \"{hash.Parent?.Element(Ns + "path")?.Value}\" has no known action"),
    };

    /// <summary>The first kind that stands in both parts.</summary>
    private static MhlFolder? Folder(XElement element, string path)
    {
        XElement? content = element.Element(Ns + "content"), structure = element.Element(Ns + "structure");
        foreach (HashKind kind in Enum.GetValues<HashKind>())
        {
            if (content?.Element(Ns + kind.InMhl()) is { } held && structure?.Element(Ns + kind.InMhl()) is { } arranged)
            {
                return new MhlFolder(path, new FileHash(kind, held.Value.Trim()), new FileHash(kind, arranged.Value.Trim()));
            }
        }

        return null;
    }

    private static string PathOf(XElement element) => element.Element(Ns + "path") is { } path
        ? Safe(path.Value)
        : throw new MhlException("a checksum in it has no path");

    private static string Safe(string path) =>
        path.Length == 0 || path.StartsWith('/') || path.Split('/').Contains("..", StringComparer.Ordinal)
            ? throw new MhlException($"it names a path outside its folder (\"{path}\")")
            : path;
}
