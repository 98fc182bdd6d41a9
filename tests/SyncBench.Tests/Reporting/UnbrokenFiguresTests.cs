using SyncBench.Reporting;
using SyncBench.Time;

namespace SyncBench.Tests.Reporting;

/// <summary>A line never ends between a number and its unit: a no-break space stands there.</summary>
public class UnbrokenFiguresTests
{
    [Theory]
    [InlineData(48.94, "48.9 s")]
    [InlineData(195, "3 min 15 s")]
    [InlineData(3725, "1 h 02 min")]
    public void ALength(double seconds, string asItReads) =>
        Assert.Equal(asItReads.Replace(' ', '\u00a0'), Figures.Length(MediaTime.FromSeconds(seconds)));

    [Theory]
    [InlineData(12_340, "12.3 kB")]
    [InlineData(64_000_000_000, "64.0 GB")]
    public void ASize(long bytes, string asItReads) => Assert.Equal(asItReads.Replace(' ', '\u00a0'), Figures.Bytes(bytes));

    [Theory]
    [InlineData(0.87319, "87.31 %")]
    [InlineData(1, "over 99.99 %")]
    public void AShare(double share, string asItReads) => Assert.Equal(asItReads.Replace(" %", "\u00a0%", StringComparison.Ordinal), Figures.Percent(share));
}
