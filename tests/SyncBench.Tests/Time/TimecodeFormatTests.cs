using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Time;

/// <summary>What the standard says of labels is held in Standards/TimecodeOfSt12Tests.</summary>
public class TimecodeFormatTests
{
    [Theory]
    [InlineData("24:00:00:00", "\"24:00:00:00\" is no time of day")]
    [InlineData("00:60:00:00", "\"00:60:00:00\" is no time of day")]
    [InlineData("00:00:00:30", "\"00:00:00:30\" has a frame number beyond the 30 of a second")]
    [InlineData("00:01:00;00", "\"00:01:00;00\" is left out in drop-frame counting")]
    [InlineData("00:01:00:01", "\"00:01:00:01\" is left out in drop-frame counting")]
    [InlineData("1:00:00:00", "\"1:00:00:00\" is not of the form hh:mm:ss:ff")]
    [InlineData("01:00:00.00", "\"01:00:00.00\" is not of the form hh:mm:ss:ff")]
    [InlineData("01:00;00:00", "\"01:00;00:00\" is not of the form hh:mm:ss:ff")]
    [InlineData("-1:00:00:00", "\"-1:00:00:00\" is not of the form hh:mm:ss:ff")]
    [InlineData("01:00:00:+1", "\"01:00:00:+1\" is not of the form hh:mm:ss:ff")]
    [InlineData("01:00:00:00 ", "\"01:00:00:00 \" is not of the form hh:mm:ss:ff")]
    [InlineData("", "\"\" is not of the form hh:mm:ss:ff")]
    [InlineData(null, "\"\" is not of the form hh:mm:ss:ff")]
    public void ALabelThatIsNone_IsRefusedInWords(string? label, string problem)
    {
        Assert.False(new TimecodeFormat(30, true).TryParse(label, out long frame, out string? why));
        Assert.Equal(problem, why);
        Assert.Equal(0, frame);
    }

    [Fact]
    public void BothSigns_AreTakenBeforeTheFrames()
    {
        var drop = new TimecodeFormat(30, true);

        Assert.True(drop.TryParse("00:01:00:02", out long colon, out _));
        Assert.True(drop.TryParse("00:01:00;02", out long semicolon, out _));
        Assert.Equal(semicolon, colon);
    }

    [Fact]
    public void CountsBelowZeroAndBeyondADay_Wrap()
    {
        Assert.Equal("23:59:59:24", new TimecodeFormat(25, false).Format(-1));
        Assert.Equal("00:00:00;01", new TimecodeFormat(30, true).Format(2_589_408 + 1));
    }

    [Theory]
    [InlineData(2_997, 100, 30_000, 1_001)]
    [InlineData(30_000, 1_001, 30_000, 1_001)]
    [InlineData(2_398, 100, 24_000, 1_001)]
    [InlineData(25, 1, 25, 1)]
    [InlineData(2_500_013, 100_000, 25, 1)]
    public void AStatedRate_StandsForTheOneWithTimecode(int numerator, int denominator, int standard, int below) =>
        Assert.Equal(new Rate(standard, below), TimecodeFormat.Standard(new Rate(numerator, denominator)));

    [Theory]
    [InlineData(120, 1)]
    [InlineData(2_510, 100)]
    [InlineData(12, 1)]
    public void OtherRates_HaveNoTimecode(int numerator, int denominator)
    {
        var rate = new Rate(numerator, denominator);

        Assert.Null(TimecodeFormat.Standard(rate));
        Assert.Throws<ArgumentOutOfRangeException>(() => TimecodeFormat.Of(rate, dropFrame: false));
    }

    [Theory]
    [InlineData(25, 1, false)]
    [InlineData(24_000, 1_001, false)]
    [InlineData(30, 1, false)]
    [InlineData(30_000, 1_001, true)]
    [InlineData(60_000, 1_001, true)]
    public void DropFrame_ExistsAt2997And5994Alone(int numerator, int denominator, bool exists) =>
        Assert.Equal(exists, TimecodeFormat.Of(new Rate(numerator, denominator), dropFrame: true).DropFrame);

    [Fact]
    public void TheCulture_ChangesNothing()
    {
        using var german = Culture.German();
        var format = new TimecodeFormat(25, false);

        Assert.True(format.TryParse("10:11:12:13", out long frame, out _));
        Assert.Equal("10:11:12:13", format.Format(frame));
    }
}
