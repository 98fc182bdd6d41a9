using SyncBench.Signal;

namespace SyncBench.Tests.Signal;

public class CrossCorrelatorTests
{
    /// <summary>Oracle: fixtures/signal/correlation.json, the defining sum over numpy's transform.</summary>
    [Theory]
    [InlineData("beta1", 1.0, 123.0)]
    [InlineData("beta0_8", 0.8, 123.0)]
    [InlineData("beta1_shifted", 1.0, 123.37)]
    public void ARow_AgreesWithTheDefinition(string name, double whitening, double middle)
    {
        SciPyFixture fixture = SciPyFixture.Open("correlation.json");
        var correlator = new CrossCorrelator(1024, 16_000, 200, 7500);
        float[] row = new float[41];

        Assert.True(correlator.Load(Floats(fixture.Numbers("reference")), Floats(fixture.Numbers("query"))));
        correlator.Row((float)whitening, middle, row);

        double[] expected = fixture.Numbers(name);
        for (int i = 0; i < row.Length; i++)
        {
            Assert.Equal(expected[i], row[i], 2e-5);
        }
    }

    [Fact]
    public void AWindowFoundAgain_IsOneAtItsLag()
    {
        float[] reference = Noise(4096);
        var correlator = new CrossCorrelator(8192, 16_000, 200, 7500);
        float[] row = new float[101];

        // As long as the reference, so that nothing else is in it: coherent in every bin.
        float[] late = new float[4096 + 77];
        reference.CopyTo(late, 77);
        correlator.Load(late, reference);
        correlator.Row(1, 77, row);

        Assert.Equal(50, Array.IndexOf(row, row.Max()));
        Assert.Equal(1, row[50], 1e-3);
    }

    /// <summary>The sign that the whole of alignment rests on.</summary>
    [Theory]
    [InlineData(12)]
    [InlineData(-12)]
    public void PositiveLag_MeansTheQueryStartsLaterInTheReference(int lag)
    {
        float[] sound = Noise(2048);
        var correlator = new CrossCorrelator(4096, 16_000, 200, 7500);
        float[] row = new float[65];

        correlator.Load(sound.AsSpan(512, 1024), sound.AsSpan(512 + lag, 512));
        correlator.Row(1, 0, row);

        Assert.Equal(32 + lag, Array.IndexOf(row, row.Max()));
    }

    [Fact]
    public void ALouderCopy_GivesTheSameRow()
    {
        float[] sound = Noise(1024);
        float[] louder = [.. sound.Select(x => 100 * x)];
        var correlator = new CrossCorrelator(2048, 16_000, 200, 7500);
        float[] row = new float[33], loud = new float[33];

        correlator.Load(sound, sound.AsSpan(100, 400));
        correlator.Row(0.8f, 100, row);
        correlator.Load(louder, sound.AsSpan(100, 400));
        correlator.Row(0.8f, 100, loud);

        Assert.All(row.Zip(loud), pair => Assert.Equal(pair.First, pair.Second, 1e-5));
    }

    [Fact]
    public void OfSilence_ThereIsNothingToCorrelate() =>
        Assert.False(new CrossCorrelator(1024, 16_000, 200, 7500).Load(new float[512], Noise(512)));

    /// <summary>Rumble below the band is alike at every mic of a room and must not be seen.</summary>
    [Fact]
    public void WhatLiesBelowTheBand_HasNoVote()
    {
        float[] reference = Noise(4096), query = Noise(2048, seed: 9);
        for (int n = 0; n < query.Length; n++)
        {
            query[n] += reference[n + 100] * 0.5f;
        }

        float[] rumbling = [.. reference.Select((x, n) => x + (50 * MathF.Sin(n * 2 * MathF.PI * 60 / 16_000)))];
        float[] both = [.. query.Select((x, n) => x + (50 * MathF.Sin((n + 7) * 2 * MathF.PI * 60 / 16_000)))];
        float[] taper = Window.Hann(both.Length), row = new float[401];
        var correlator = new CrossCorrelator(8192, 16_000, 200, 7500);

        correlator.Load([.. rumbling.Zip(Window.Hann(4096)).Select(p => p.First * p.Second)], [.. both.Zip(taper).Select(p => p.First * p.Second)]);
        correlator.Row(1, 0, row);

        Assert.Equal(200 + 100, Array.IndexOf(row, row.Max()));
    }

    private static float[] Noise(int count, int seed = 3)
    {
        var random = new Random(seed);
        return [.. Enumerable.Range(0, count).Select(_ => (float)((random.NextDouble() * 2) - 1))];
    }

    private static float[] Floats(double[] values) => [.. values.Select(value => (float)value)];
}
