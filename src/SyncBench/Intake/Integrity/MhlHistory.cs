using System.Collections.Immutable;
using System.Globalization;

namespace SyncBench.Intake.Integrity;

/// <summary>All generations of manifests in one folder "ascmhl".</summary>
/// <param name="Place">The folder whose files it lists, relative to the dump; empty for the dump itself.</param>
/// <param name="Generations">Those that can be trusted, in order.</param>
/// <param name="Problems">What is wrong with the history itself and what to do, a sentence each.</param>
public sealed record MhlHistory(string Place, ImmutableArray<MhlManifest> Generations, ImmutableArray<string> Problems)
{
    /// <summary>About 200,000 files; no card has so many.</summary>
    private const int MostBytes = 1 << 26;

    /// <param name="folder">The folder "ascmhl".</param>
    /// <returns>Null where the folder holds no history at all.</returns>
    public static MhlHistory? Load(string folder, string place)
    {
        if (!Directory.Exists(folder))
        {
            return null;
        }

        var problems = ImmutableArray.CreateBuilder<string>();
        var generations = ImmutableArray.CreateBuilder<MhlManifest>();
        void Wrong(string name, string problem) => problems.Add(
            $"{(place.Length > 0 ? place + "/" : string.Empty)}{DumpLister.ManifestFolder}/{name}: {problem}. Copy the folder \"{DumpLister.ManifestFolder}\" again from its source.");

        string[] present =
        [
            .. new DirectoryInfo(folder).EnumerateFiles("*.mhl")
                .Where(file => file.LinkTarget is null && !SpecialFile.Is(file))
                .Select(file => file.Name).Order(StringComparer.Ordinal),
        ];
        ImmutableArray<MhlLink>? chain = Chain(folder, Wrong);
        if (present.Length == 0 && chain is null && problems.Count == 0)
        {
            return null;
        }

        foreach (MhlLink link in chain ?? [.. present.Select((name, i) => new MhlLink(i + 1, name, string.Empty))])
        {
            if (!present.Contains(link.FileName, StringComparer.Ordinal))
            {
                Wrong(link.FileName, "the chain lists this manifest, but it is not there");
            }
            else if (Manifest(Path.Combine(folder, link.FileName), link.C4, problem => Wrong(link.FileName, problem)) is { } manifest)
            {
                generations.Add(manifest);
            }
        }

        foreach (string name in present.Where(name => chain is { } links && links.All(link => link.FileName != name)))
        {
            Wrong(name, "this manifest is not in the chain, so it is not used");
        }

        return new MhlHistory(place, generations.ToImmutable(), problems.ToImmutable());
    }

    /// <summary>Adds a generation to the history of a folder, or begins one.</summary>
    /// <param name="name">Of the folder that it lists.</param>
    /// <exception cref="MhlException">The history that is there cannot be continued.</exception>
    /// <exception cref="IOException">It cannot be written.</exception>
    public static string Append(string folder, string name, MhlManifest manifest)
    {
        string chainPath = Path.Combine(folder, MhlChain.FileName);
        ImmutableArray<MhlLink> links = File.Exists(chainPath) ? MhlChain.Read(Bytes(chainPath)) : [];
        if (links.IsEmpty && Directory.Exists(folder) && Directory.EnumerateFiles(folder, "*.mhl").Any())
        {
            throw new MhlException("manifests are there without a chain file, so the next one has no number");
        }

        byte[] bytes = MhlWriter.Write(manifest);
        string fileName = string.Create(
            CultureInfo.InvariantCulture, $"{links.Length + 1:0000}_{name}_{manifest.CreatedAt.UtcDateTime:yyyy-MM-dd_HHmmss}Z.mhl");
        string path = Path.Combine(folder, fileName);
        WholeFile.Write(path, stream => stream.Write(bytes));
        var link = new MhlLink(links.Length + 1, fileName, RunningHash.Of(HashKind.C4, bytes).Value);
        WholeFile.Write(chainPath, stream => stream.Write(MhlChain.Write([.. links, link])));
        return path;
    }

    private static ImmutableArray<MhlLink>? Chain(string folder, Action<string, string> wrong)
    {
        string path = Path.Combine(folder, MhlChain.FileName);
        try
        {
            if (!File.Exists(path))
            {
                if (Directory.EnumerateFiles(folder, "*.mhl").Any())
                {
                    wrong(MhlChain.FileName, "the chain file is not there, so nothing shows whether a manifest was changed");
                }

                return null;
            }

            return MhlChain.Read(Bytes(path));
        }
        catch (Exception bad) when (bad is MhlException or IOException or UnauthorizedAccessException)
        {
            wrong(MhlChain.FileName, $"the chain file cannot be used: {bad.Message.TrimEnd('.')}");
            return null;
        }
    }

    private static MhlManifest? Manifest(string path, string c4, Action<string> wrong)
    {
        try
        {
            byte[] bytes = Bytes(path);
            if (c4.Length > 0 && RunningHash.Of(HashKind.C4, bytes).Value != c4)
            {
                wrong("the manifest was changed after it was written, so it is not used");
                return null;
            }

            return MhlReader.Read(bytes);
        }
        catch (Exception bad) when (bad is MhlException or IOException or UnauthorizedAccessException)
        {
            wrong($"the manifest cannot be used: {bad.Message.TrimEnd('.')}");
            return null;
        }
    }

    private static byte[] Bytes(string path)
    {
        var file = new FileInfo(path);
        return file.LinkTarget is not null || SpecialFile.Is(file) ? throw new MhlException("it is no plain file")
            : file.Length > MostBytes ? throw new MhlException($"it is larger than {MostBytes >> 20} MiB")
            : File.ReadAllBytes(path);
    }
}
