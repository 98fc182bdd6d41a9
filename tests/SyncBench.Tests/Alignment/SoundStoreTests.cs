using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Alignment;

public sealed class SoundStoreTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void WhatWasHeard_IsReadBackToElevenBits()
    {
        float[] left = HeardClips.Noise(1, 200_000, 0.1), right = HeardClips.Noise(2, 200_000, 0.0001);
        using SoundStore store = Store(left, right);
        float[] read = new float[5_000];

        store.Read(1, 65_000, read);

        for (int n = 0; n < read.Length; n++)
        {
            Assert.Equal(right[65_000 + n], read[n], 1e-6f);
        }
    }

    [Theory]
    [InlineData(-50, 50)]
    [InlineData(-200, 100)]
    [InlineData(950, 50)]
    [InlineData(2_000, 100)]
    public void OutsideTheClip_ThereIsSilence(long first, int silent)
    {
        using SoundStore store = Store([.. Enumerable.Repeat(0.5f, 1_000)]);
        float[] read = new float[100];

        store.Read(0, first, read);

        Assert.Equal(silent, read.Count(x => x == 0));
        Assert.Equal(100 - silent, read.Count(x => x == 0.5f));
    }

    [Fact]
    public void WhenItIsGone_SoAreItsFiles()
    {
        Store(new float[10]).Dispose();

        Assert.Empty(Directory.GetFiles(_folder.Path));
    }

    private SoundStore Store(params float[][] channels)
    {
        var store = new SoundStore(channels.Length, _folder.Path);
        store.Hear(new SoundBlock(16_000, channels, channels[0].Length, channels, channels[0].Length));
        store.Finish();
        return store;
    }
}
