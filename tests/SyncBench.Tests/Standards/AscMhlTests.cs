using System.Collections.Immutable;
using System.Text;
using System.Xml;
using System.Xml.Schema;
using SyncBench.Intake.Integrity;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Standards;

/// <summary>
/// ASC MHL specification 1.0 of 15 March 2022 and the example published with it (examples/scenarios/Output/scenario_01/
/// travel_01/A002R2EC in its repository): checksums, folder checksums, C4 ids. The names of the example's files and their
/// contents are from memory; that the published checksums come out of them shows that they are right.
/// </summary>
public class AscMhlTests
{
    [Theory]
    [InlineData("", "ef46db3751d8e999")]
    [InlineData("abc", "44bc2cf5ad770999")]
    [InlineData("abcd\n", "0ea03b369a463d9d")]
    [InlineData("def\n", "7680e5f98f4a80fd")]
    [InlineData("BLOREM ipsum dolor sit amet, consetetur sadipscing elitr.\n", "3ab5a4166b9bde44")]
    public void Xxh64(string text, string published) =>
        Assert.Equal(published, RunningHash.Of(HashKind.Xxh64, Encoding.UTF8.GetBytes(text)).Value);

    /// <summary>C4 id of nothing, as SMPTE ST 2114 and the C4 site give it.</summary>
    [Fact]
    public void C4_OfNothing() => Assert.Equal(
        "c459dsjfscH38cYeXXYogktxf4Cd9ibshE3BHUo6a58hBXmRQdZrAkZzsWcbWtDg5oQstpDuni4Hirj75GEmTc1sFT",
        RunningHash.Of(HashKind.C4, []).Value);

    [Fact]
    public void AC4Id_StandsForItsSha512()
    {
        byte[] digest = System.Security.Cryptography.SHA512.HashData("Tallowick"u8);

        Assert.Equal(digest, C4Id.ToSha512(C4Id.OfSha512(digest)));
        Assert.Equal(new byte[64], C4Id.ToSha512(C4Id.OfSha512(new byte[64])));
        Assert.Null(C4Id.ToSha512("c4" + new string('0', 88)));
    }

    [Fact]
    public void FolderChecksums_OfThePublishedExample()
    {
        ImmutableArray<MhlFolder> folders = FolderHashes.Of(HashKind.Xxh64,
        [
            ("Clips/A002C006_141024_R2EC.mov", new FileHash(HashKind.Xxh64, "0ea03b369a463d9d")),
            ("Clips/A002C007_141024_R2EC.mov", new FileHash(HashKind.Xxh64, "7680e5f98f4a80fd")),
            ("Sidecar.txt", new FileHash(HashKind.Xxh64, "3ab5a4166b9bde44")),
        ]);

        Assert.Equal(["", "Clips"], folders.Select(folder => folder.Path));
        Assert.Equal(("4c226b42e27d7af3", "906faa843d591a9f"), (folders[1].Content.Value, folders[1].Structure.Value));
        Assert.Equal(("8d02114c32e28cbe", "f557f8ca8e5a88ef"), (folders[0].Content.Value, folders[0].Structure.Value));
    }

    /// <summary>The rules of the standard's schema as far as they are known here: fixtures/mhl says which are from memory.</summary>
    [Theory]
    [InlineData(HashKind.Xxh128)]
    [InlineData(HashKind.Xxh3)]
    [InlineData(HashKind.Xxh64)]
    [InlineData(HashKind.Md5)]
    [InlineData(HashKind.Sha1)]
    [InlineData(HashKind.C4)]
    public void AManifest_KeepsTheRulesOfTheSchema(HashKind kind)
    {
        FileHash hash = RunningHash.Of(kind, "rope"u8), other = RunningHash.Of(HashKind.Md5, "rope"u8);
        ImmutableArray<MhlHash> hashes = kind == HashKind.Md5
            ? [new MhlHash(hash, MhlAction.Original)]
            : [new MhlHash(hash, MhlAction.Verified), new MhlHash(other, MhlAction.Failed)];
        string[] names = ["CAM_A/-1 <&>\".MP4", "line\nbreak.WAV", "кино \u202E.MOV"];
        byte[] written = MhlWriter.Write(Manifest(kind, [.. names.Select(name => new MhlFile(name, 4, Now, hashes, "was here"))], hash));

        Assert.Empty(BrokenRules(written, "manifest-rules.xsd"));
        MhlManifest read = MhlReader.Read(written);
        Assert.Equal(names, read.Files.Select(file => file.Path));
        Assert.Equal(hashes.ToHashSet(), read.Files[1].Hashes.ToHashSet());
        Assert.Equal((Now, "was here", hash), (read.CreatedAt, read.Files[0].PreviousPath, read.Root!.Content));
    }

    [Fact]
    public void AManifestOfNothing_HasNoListOfChecksums() =>
        Assert.Empty(BrokenRules(MhlWriter.Write(Manifest(HashKind.Xxh128, [], null)), "manifest-rules.xsd"));

    [Fact]
    public void TheRules_FindAManifestThatBreaksThem() => Assert.NotEmpty(BrokenRules(
        Encoding.UTF8.GetBytes("<hashlist version=\"2.0\" xmlns=\"urn:ASC:MHL:v2.0\"><hashes/></hashlist>"), "manifest-rules.xsd"));

    [Fact]
    public void AChain_KeepsTheRulesOfTheSchema()
    {
        MhlLink[] links =
        [
            new(1, "0001_ropewalk-day2_2026-11-25_120000Z.mhl", RunningHash.Of(HashKind.C4, "1"u8).Value),
            new(2, "0002_ropewalk-day2_2026-11-25_130000Z.mhl", RunningHash.Of(HashKind.C4, "2"u8).Value),
        ];
        byte[] written = MhlChain.Write(links);

        Assert.Empty(BrokenRules(written, "chain-rules.xsd"));
        Assert.Equal(links, MhlChain.Read(written));
    }

    private static readonly DateTimeOffset Now = new(2026, 11, 25, 12, 0, 0, TimeSpan.FromHours(1));

    private static MhlManifest Manifest(HashKind kind, ImmutableArray<MhlFile> files, FileHash? whole)
    {
        MhlFolder? root = whole is { } hash ? new MhlFolder(string.Empty, hash, hash) : null;
        return new MhlManifest(
            Now, "cart", "SyncBench", "1.0", IgnorePatterns.Usual, root, files,
            root is null ? [] : [root with { Path = "CAM_A" }]);
    }

    private static List<string> BrokenRules(byte[] xml, string rules)
    {
        var broken = new List<string>();
        var settings = new XmlReaderSettings { ValidationType = ValidationType.Schema };
        settings.ValidationFlags |= XmlSchemaValidationFlags.ReportValidationWarnings;
        settings.Schemas.Add(null, Repository.File($"fixtures/mhl/{rules}"));
        settings.ValidationEventHandler += (_, problem) => broken.Add(problem.Message);
        using var reader = XmlReader.Create(new MemoryStream(xml), settings);
        while (reader.Read())
        {
            // Reading is what validates.
        }

        return broken;
    }
}
