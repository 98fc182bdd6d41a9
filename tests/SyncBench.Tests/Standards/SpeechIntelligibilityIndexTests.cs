using SyncBench.Alignment;
using SyncBench.Selection;

namespace SyncBench.Tests.Standards;

/// <summary>ANSI S3.5-1997, Methods for calculation of the speech intelligibility index.</summary>
public class SpeechIntelligibilityIndexTests
{
    /// <summary>
    /// The importance of an octave (table 4; values from memory) is that of its third octaves (table 3) together; the
    /// lowest third, 160 Hz, belongs to the 250 Hz octave there, and the index as a whole to 0.9815 of the table here.
    /// </summary>
    [Theory]
    [InlineData(160, 315, 0.0617)]
    [InlineData(400, 630, 0.1671)]
    [InlineData(800, 1250, 0.2373)]
    [InlineData(1600, 2500, 0.2648)]
    [InlineData(3150, 5000, 0.2142)]
    public void ThirdOctaves_AddUpToTheOctavesOfTheStandard(int lowestHz, int highestHz, double octave)
    {
        double sum = Enumerable.Range(0, BandLevels.Bands)
            .Where(band => BandLevels.CentreHz[band] >= lowestHz && BandLevels.CentreHz[band] <= highestHz)
            .Sum(band => (double)SpeechBands.Importance[band]);
        Assert.Equal(octave / 0.9815, sum, 1e-4);
    }

    [Fact]
    public void AllBandsTogether_CountOne() => Assert.Equal(1, SpeechBands.Importance.Sum(), 1e-5);
}
