using SyncBench.Time;

namespace SyncBench.Tests.Time;

public class ClockTextTests
{
    [Theory]
    [InlineData("0:00", 0)]
    [InlineData("12:03", 723)]
    [InlineData("125:03", 7503)]
    [InlineData("1:02:03", 3723)]
    [InlineData("01:02:03.25", 3723.25)]
    [InlineData("0:12:03.000000001", 723.000000001)]
    public void TimesAsPeopleWriteThem_AreRead(string text, double seconds) =>
        Assert.Equal(MediaTime.FromSeconds(seconds), ClockText.Parse(text));

    [Theory]
    [InlineData("")]
    [InlineData("12")]
    [InlineData("12:3")]
    [InlineData("12:60")]
    [InlineData("1:60:00")]
    [InlineData("1:2:03")]
    [InlineData("-1:00")]
    [InlineData("12:03:04:05")]
    [InlineData("12:03,5")]
    [InlineData(" 12:03")]
    [InlineData("12:03\n")]
    public void AnythingElse_IsNoTime(string text) => Assert.Null(ClockText.Parse(text));
}
