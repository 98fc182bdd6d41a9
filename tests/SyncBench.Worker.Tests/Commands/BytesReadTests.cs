using SyncBench.Worker.Commands;

namespace SyncBench.Worker.Tests.Commands;

/// <summary>What stands beside the bar of checksums while it moves.</summary>
public class BytesReadTests
{
    [Theory]
    [InlineData(12_300, 64_000, 67.2, "12.3 of 64.0 GB, 183 MB/s")]
    [InlineData(600, 2_040, 2, "0.6 of 2.0 GB, 300 MB/s")]
    [InlineData(600, 2_040, 1, "0.6 of 2.0 GB, 600 MB/s")]
    public void TheRate_IsWhatWasReadByTheTimeItTook(int megabytesDone, int megabytesAll, double seconds, string words) =>
        Assert.Equal(words, BytesRead.InWords(megabytesDone * 1_000_000L, megabytesAll * 1_000_000L, TimeSpan.FromSeconds(seconds)));

    /// <summary>A rate over a moment jumps about.</summary>
    [Fact]
    public void InTheFirstSecond_NoRateIsTold() =>
        Assert.Equal("0.6 of 2.0 GB", BytesRead.InWords(600_000_000, 2_040_000_000, TimeSpan.FromSeconds(0.99)));
}
