using SyncBench.Intake;

namespace SyncBench.Tests.Intake;

public class RunningNumbersTests
{
    [Fact]
    public void AHole_IsNamedBesideTheFileBeforeIt()
    {
        IntakeFinding hole = Assert.Single(RunningNumbers.Holes(["CAM_A/A001C001.MP4", "CAM_A/A001C002.MP4", "CAM_A/A001C004.MP4"]));

        Assert.Equal((FindingKind.MissingNumber, "CAM_A/A001C002.MP4"), (hole.Kind, hole.Path));
        Assert.Contains("A001C004.MP4", hole.Problem, StringComparison.Ordinal);
        Assert.Contains("number 003 is not in the dump", hole.Problem, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("whole", "A001.MP4", "A002.MP4", "A003.MP4")]
    [InlineData("one file", "A007.MP4")]
    [InlineData("numbers run on over folders", "CARD/100/C0001.MP4", "CARD/100/C0002.MP4", "CARD/101/C0003.MP4")]
    [InlineData("each folder begins anew", "REC/DAY1/T01.WAV", "REC/DAY1/T02.WAV", "REC/DAY2/T01.WAV", "REC/DAY2/T02.WAV")]
    [InlineData("dates and times", "20261125_120301.MP4", "20261125_121544.MP4", "20261125_130002.MP4")]
    [InlineData("a counter that wrapped", "C9998.MP4", "C9999.MP4", "C0001.MP4")]
    [InlineData("two devices", "CAM_A/A001.MP4", "CAM_B/A005.MP4")]
    [InlineData("two series in one folder", "A001.MP4", "B007.MP4")]
    [InlineData("two counters, one whole", "A001C001_2RE.MP4", "A001C002_2RE.MP4", "A001C003_9RE.MP4")]
    [InlineData("far too many digits", "99999999999999999999.MP4", "99999999999999999997.MP4")]
    public void NoHole(string what, params string[] paths) => Assert.True(RunningNumbers.Holes(paths).IsEmpty, what);

    [Theory]
    [InlineData("numbers 02, 03 are", "R01.WAV", "R04.WAV", "R05.WAV", "R06.WAV")]
    [InlineData("numbers 04 to 10 are", "R01.WAV", "R02.WAV", "R03.WAV", "R11.WAV", "R12.WAV", "R13.WAV", "R14.WAV", "R15.WAV")]
    public void SeveralMissingNumbers_AreNamed(string words, params string[] paths) =>
        Assert.Contains(words, Assert.Single(RunningNumbers.Holes(paths)).Problem, StringComparison.Ordinal);
}
