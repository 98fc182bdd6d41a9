using System.Text;
using SyncBench.Intake.Integrity;
using SyncBench.Pipeline;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Pipeline;

public sealed class DumpVerificationTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public DumpVerificationTests()
    {
        Write("dump/CAM_A/A001C001.MP4", "one");
        Write("dump/CAM_A/A001C002.MP4", "two");
        Write("dump/RECORDER/T_001.WAV", "three");
    }

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task ADumpAsItWas_IsVerified()
    {
        VerifyResult first = await VerifyAsync();
        VerifyResult second = await VerifyAsync();

        Assert.False(first.HadManifest);
        Assert.False(first.NeedsAPerson);
        Assert.True(second.Check.IsWhole);
        Assert.False(second.NeedsAPerson);
        Assert.Equal(3, second.Check.Files.Length);
    }

    [Fact]
    public async Task WhatIsChangedMissingOrNew_IsSaidOfEachFile()
    {
        await VerifyAsync();
        Write("dump/CAM_A/A001C001.MP4", "One");
        Write("dump/CAM_A/A001C003.MP4", "new");
        File.Delete(_folder.File("dump/CAM_A/A001C002.MP4"));

        VerifyResult result = await VerifyAsync();

        Assert.True(result.NeedsAPerson);
        Assert.Equal(
            [FileCheck.Changed, FileCheck.Missing, FileCheck.Unknown, FileCheck.Verified],
            result.Check.Files.Select(file => file.Check));
        Assert.All(result.Check.Files.SkipLast(1), file => Assert.NotEmpty(file.Reason));
    }

    /// <summary>ASC MHL 1.0: a checksum marked "failed" is never verified by, and a file that is gone stays missing.</summary>
    [Fact]
    public async Task AllGenerations_AreVerified()
    {
        await VerifyAsync();
        Write("dump/CAM_A/A001C001.MP4", "One");
        File.Delete(_folder.File("dump/CAM_A/A001C002.MP4"));
        await VerifyAsync();

        VerifyResult third = await VerifyAsync();

        Assert.Equal(2, third.Check.Generations);
        Assert.Equal([FileCheck.Changed, FileCheck.Missing, FileCheck.Verified], third.Check.Files.Select(file => file.Check));
    }

    [Fact]
    public async Task ADumpWithAHistoryOfItsOwn_IsVerifiedByIt_AndNotWrittenTo()
    {
        await VerifyAsync(inDump: true, HashKind.C4);
        string[] before = Directory.GetFiles(_folder.File("dump"), "*", SearchOption.AllDirectories);

        VerifyResult result = await new DumpVerification(TimeProvider.System).RunAsync(
            new VerifyRequest(_folder.File("dump"), null, WriteIntoDump: false, HashKind.Xxh128), null, CancellationToken.None);

        Assert.True(result.Check.IsWhole);
        Assert.Equal(before.Order(), Directory.GetFiles(_folder.File("dump"), "*", SearchOption.AllDirectories).Order());
        Assert.Equal(5, before.Length);
    }

    [Fact]
    public async Task AManifestThatWasChanged_IsNotBelieved()
    {
        await VerifyAsync(inDump: true);
        string manifest = Directory.GetFiles(_folder.File("dump/ascmhl"), "*.mhl").Single();
        await File.AppendAllTextAsync(manifest, "\n");

        VerifyResult result = await VerifyAsync();

        Assert.Contains("changed after it was written", Assert.Single(result.Check.ManifestProblems), StringComparison.Ordinal);
        Assert.True(result.NeedsAPerson);
    }

    [Fact]
    public async Task AManifestWithoutChain_IsUsedAndSaid()
    {
        await VerifyAsync(inDump: true);
        File.Delete(_folder.File("dump/ascmhl/ascmhl_chain.xml"));

        VerifyResult result = await VerifyAsync();

        Assert.All(result.Check.Files, file => Assert.Equal(FileCheck.Verified, file.Check));
        Assert.Contains("chain", Assert.Single(result.Check.ManifestProblems), StringComparison.Ordinal);
    }

    /// <summary>ASC MHL 1.0: a folder inside may carry a history of its own.</summary>
    [Fact]
    public async Task AFolderWithItsOwnHistory_IsVerifiedByIt()
    {
        await new DumpVerification(TimeProvider.System).RunAsync(
            new VerifyRequest(_folder.File("dump/CAM_A"), null, WriteIntoDump: true, HashKind.Md5), null, CancellationToken.None);
        Write("dump/CAM_A/A001C002.MP4", "2");

        VerifyResult result = await VerifyAsync();

        Assert.Equal(
            [("CAM_A/A001C001.MP4", FileCheck.Verified), ("CAM_A/A001C002.MP4", FileCheck.Changed)],
            result.Check.Files.Select(file => (file.Path, file.Check)));
    }

    [Theory]
    [InlineData("<!DOCTYPE x [<!ENTITY e SYSTEM \"file:///etc/hostname\">]><hashlist version=\"2.0\" xmlns=\"urn:ASC:MHL:v2.0\">&e;</hashlist>", "well-formed")]
    [InlineData("<hashlist version=\"2.0\" xmlns=\"urn:ASC:MHL:v2.0\"><hashes><hash><path>../../etc/hostname</path></hash></hashes></hashlist>", "outside")]
    [InlineData("<hashlist version=\"1.1\" xmlns=\"urn:ASC:MHL:v2.0\"/>", "1.1")]
    [InlineData("<hashlist version=\"1.1\"/>", "root element")]
    [InlineData("no xml", "well-formed")]
    public async Task AHostileManifest_IsAProblemInWords(string text, string said)
    {
        Write("dump/ascmhl/0001_dump_2026-11-25_120000Z.mhl", text);

        VerifyResult result = await VerifyAsync();

        Assert.Contains(result.Check.ManifestProblems, problem => problem.Contains(said, StringComparison.Ordinal));
        Assert.True(result.NeedsAPerson);
    }

    [Fact]
    public async Task WithoutManifestAndWithoutFolder_NothingIsVerified()
    {
        RunRefusedException refused = await Assert.ThrowsAsync<RunRefusedException>(() => new DumpVerification(TimeProvider.System).RunAsync(
            new VerifyRequest(_folder.File("dump"), null, WriteIntoDump: false, HashKind.Xxh128), null, CancellationToken.None));

        Assert.Contains("--out", refused.Message, StringComparison.Ordinal);
    }

    private Task<VerifyResult> VerifyAsync(bool inDump = false, HashKind kind = HashKind.Xxh128) => new DumpVerification(TimeProvider.System).RunAsync(
        new VerifyRequest(
            _folder.File("dump"), inDump ? null : OutputFolder.Open(_folder.File("out"), _folder.File("dump")), inDump, kind),
        null, CancellationToken.None);

    private void Write(string name, string text)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(_folder.File(name))!);
        File.WriteAllText(_folder.File(name), text, Encoding.UTF8);
    }
}
