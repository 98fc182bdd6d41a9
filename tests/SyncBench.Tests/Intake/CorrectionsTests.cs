using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Intake;

public sealed class CorrectionsTests : IDisposable
{
    private static readonly Corrections All = new(
        [new MicCorrection(1, MicRole.Shotgun, "0:12", "0:14.5", Clock: new ClockMark("REC/1.WAV", 3.25))],
        [new RoleCorrection("CAM_A/1.MP4", Angle: "close"), new RoleCorrection("REC/1.WAV", Mic: MicRole.Boom, Channel: 2)],
        [new PlacedByHand("CAM_B/<1>.MP4", "REC/1.WAV", -2.5)],
        ["CAM_A/ü 2.MP4"]);

    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void WhatIsStoredBesideTheResults_IsReadAgain()
    {
        All.Save(_folder.File("out"));

        Corrections read = Corrections.Load(_folder.File("out"));

        Assert.Equal(All.InWords().AsEnumerable(), read.InWords());
        Assert.Equal(All.Mics.AsEnumerable(), read.Mics);
        Assert.Equal(All.Roles.AsEnumerable(), read.Roles);
        Assert.Equal(All.Placed.AsEnumerable(), read.Placed);
        Assert.Equal(All.LeftOut.AsEnumerable(), read.LeftOut);
        Assert.Equal([Corrections.FileName], Directory.GetFiles(_folder.File("out")).Select(Path.GetFileName));
    }

    [Fact]
    public void WhereNothingIsStored_ThereAreNone() => Assert.Empty(Corrections.Load(_folder.File("never made")).InWords());

    [Fact]
    public void EachIsTakenBackByItsWords()
    {
        Corrections left = All.InWords().Aggregate(All, (corrections, words) => corrections.Without(words));

        Assert.Equal(5, All.InWords().Length);
        Assert.Empty(left.InWords());
    }

    [Theory]
    [InlineData("""{ "placed": [ { "file": "A", "against": "A", "offset_s": 1 } ] }""", "against itself")]
    [InlineData("""{ "placed": [ { "file": "A", "against": "B", "offset_s": 1 }, { "file": "A", "against": "C", "offset_s": 1 } ] }""", "twice")]
    [InlineData("""{ "placed": [ { "file": "A", "against": "B", "offset_s": 1 }, { "file": "B", "against": "A", "offset_s": 1 } ] }""", "in a circle")]
    [InlineData("""{ "placed": [ { "file": "A", "against": "B", "offset_s": 1e9 } ] }""", "a week at most")]
    [InlineData("""{ "placed": [ { "file": "A", "against": "B", "offset_s": 1 } ], "left_out": [ "B" ] }""", "left out")]
    [InlineData("""{ "roles": [ { "file": "A" } ] }""", "says nothing")]
    [InlineData("""{ "roles": [ { "file": "A", "angle": " " } ] }""", "is empty")]
    [InlineData("""{ "roles": [ { "file": "A", "channel": 2 } ] }""", "needs its mic")]
    [InlineData("""{ "left_out": [ null ] }""", "is null")]
    [InlineData("""{ "mics": [ null ] }""", "is null")]
    [InlineData("""{ "mic": [] }""", "cannot be understood")]
    public void WhatIsNotUnderstood_IsSaidInOneLineWithTheFile(string text, string words)
    {
        File.WriteAllText(_folder.File(Corrections.FileName), text);

        SettingsException wrong = Assert.Throws<SettingsException>(() => Corrections.Load(Path.GetDirectoryName(_folder.File("any"))!));

        Assert.StartsWith(_folder.File(Corrections.FileName), wrong.Message, StringComparison.Ordinal);
        Assert.Contains(words, wrong.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', wrong.Message);
    }

    [Fact]
    public void ACorrectionOfAFileThatTheDumpLacks_StopsTheRun()
    {
        var dump = new DumpListing("/dump", [new MediaFile("CAM_A/1.MP4", "/dump/CAM_A/1.MP4", 1)], 0);

        SettingsException wrong = Assert.Throws<SettingsException>(() => new Corrections(LeftOut: ["CAM_A/2.MP4"]).Check(dump));

        Assert.Contains("names CAM_A/2.MP4", wrong.Message, StringComparison.Ordinal);
    }
}
