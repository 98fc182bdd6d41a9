using SyncBench.Signal.Loudness;

namespace SyncBench.Tests.Standards.Loudness;

/// <summary>
/// EBU Tech 3341, Loudness metering, minimum requirements test signals. Cases 1 to 5 and 15 to 19 as in public test suites
/// of the EBU's set; recipes of 6, 9 to 14 and 20 to 23 from memory. Cases 7 and 8 are recordings and can't be made here.
/// </summary>
public class Tech3341Tests
{
    private const double Silence = double.NegativeInfinity;

    [Theory]
    [InlineData(-23)]
    [InlineData(-33)]
    public void Cases1And2_ASteadyTone_ReadsItsLevelEverywhere(double lufs)
    {
        LoudnessFigures read = Programme.Stereo((lufs, 20));

        Assert.Equal(lufs, read.IntegratedLufs, 0.1);
        Assert.Equal(lufs, read.ShortTermLufs, 0.1);
        Assert.Equal(lufs, read.MomentaryLufs, 0.1);
    }

    [Fact]
    public void Case3_QuietEnds_AreGatedOut() =>
        Assert.Equal(-23, Programme.Stereo((-36, 10), (-23, 60), (-36, 10)).IntegratedLufs, 0.1);

    [Fact]
    public void Case4_QuietAndNearlySilentEnds_AreGatedOut() => Assert.Equal(
        -23, Programme.Stereo((-72, 10), (-36, 10), (-23, 60), (-36, 10), (-72, 10)).IntegratedLufs, 0.1);

    [Fact]
    public void Case5_LevelsWithinTheGate_AreAveraged() =>
        Assert.Equal(-23, Programme.Stereo((-26, 20), (-20, 20.1), (-26, 20)).IntegratedLufs, 0.1);

    [Fact]
    public void Case6_FiveChannels_AreWeighted()
    {
        float[] front = Programme.Tone((-28, 20)), centre = Programme.Tone((-24, 20)), back = Programme.Tone((-30, 20));

        Assert.Equal(
            -23, Programme.Measure((front, 1), (front, 1), (centre, 1), (back, 1.41), (back, 1.41)).IntegratedLufs, 0.1);
    }

    [Fact]
    public void Case9_ShortTerm_IsTheSameWhereverItsWindowBegins()
    {
        (double, double)[] once = [(-20, 1.34), (-30, 1.66)];
        Assert.Equal(-23, Programme.Stereo([.. Repeat(once, 5)]).ShortTermLufs, 0.1);
    }

    [Fact]
    public void Case10_ShortTerm_FindsThreeSecondsWhereverTheyBegin()
    {
        for (int n = 1; n <= 20; n++)
        {
            Assert.Equal(-23, Programme.Stereo((Silence, 0.15 * (n - 1)), (-23, 3), (Silence, 1)).ShortTermLufs, 0.1);
        }
    }

    [Fact]
    public void Case11_ShortTerm_FollowsRisingTones() => Assert.Equal(-19, Programme.Stereo(
        [.. Enumerable.Range(0, 20).SelectMany(n => Spaced(-38 + n, 0.15 * n, 3))]).ShortTermLufs, 0.1);

    [Fact]
    public void Case12_Momentary_IsTheSameWhereverItsWindowBegins()
    {
        (double, double)[] once = [(-20, 0.18), (-30, 0.22)];
        Assert.Equal(-23, Programme.Stereo([.. Repeat(once, 25)]).MomentaryLufs, 0.1);
    }

    [Fact]
    public void Case13_Momentary_Finds400MillisecondsWhereverTheyBegin()
    {
        for (int n = 1; n <= 20; n++)
        {
            Assert.Equal(-23, Programme.Stereo((Silence, 0.02 * (n - 1)), (-23, 0.4), (Silence, 1)).MomentaryLufs, 0.1);
        }
    }

    [Fact]
    public void Case14_Momentary_FollowsRisingTones() => Assert.Equal(-19, Programme.Stereo(
        [.. Enumerable.Range(0, 20).SelectMany(n => Spaced(-38 + n, 0.02 * n, 0.4))]).MomentaryLufs, 0.1);

    [Theory]
    [InlineData(15, 4, 0, 0.5, -6)]
    [InlineData(16, 4, 45, 0.5, -6)]
    [InlineData(17, 6, 60, 0.5, -6)]
    [InlineData(18, 8, 67.5, 0.5, -6)]
    [InlineData(19, 4, 45, 1.41, 3)]
    public void Cases15To19_TruePeak_IsReadBetweenSamples(int number, int period, double degrees, double amplitude, double dbtp)
    {
        Assert.InRange(number, 15, 19);
        var sine = new float[Programme.RateHz];
        for (int n = 0; n < sine.Length; n++)
        {
            double taper = Math.Min(1, Math.Min(n, sine.Length - 1 - n) / 480.0); // an onset would ring above the tone
            sine[n] = (float)(taper * amplitude * Math.Sin((2 * Math.PI * n / period) + (degrees * Math.PI / 180)));
        }

        Assert.InRange(Programme.Measure((sine, 1)).TruePeakDb, dbtp - 0.4, dbtp + 0.2);
    }

    /// <summary>
    /// A tone at a quarter of the rate with one period raised to full scale, made at four times the rate and taken at each
    /// of its four places: the true peak is that of the finer signal.
    /// </summary>
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Cases20To23_TruePeak_DoesNotDependOnWhereTheSamplesFall(int place)
    {
        const int Fine = 4 * Programme.RateHz;
        var fine = new double[Fine / 4];
        for (int n = 0; n < fine.Length; n++)
        {
            // 10 ms of swell are as narrow in frequency as the oversampling filter asks for.
            double around = (n - (fine.Length / 2.0)) / (0.01 * Fine);
            double swell = 0.5 + (0.5 * Math.Exp(-around * around));
            double taper = Math.Min(1, Math.Min(n, fine.Length - 1 - n) / 1920.0);
            fine[n] = taper * swell * Math.Cos(2 * Math.PI * (n - (fine.Length / 2)) / 16.0);
        }

        float[] taken = [.. Enumerable.Range(0, fine.Length / 4).Select(n => (float)fine[(4 * n) + place])];

        Assert.InRange(Programme.Measure((taken, 1)).TruePeakDb, -0.4, 0.2);
    }

    private static IEnumerable<(double, double)> Repeat((double, double)[] once, int times) =>
        Enumerable.Repeat(once, times).SelectMany(piece => piece);

    private static (double, double)[] Spaced(double level, double before, double seconds) =>
        [(Silence, before), (level, seconds), (Silence, 1)];
}
