using SyncBench.Selection;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

public class HissTests(ITestOutputHelper output)
{
    private const double Length = 40, From = 15.3, To = 19.1;

    /// <summary>A tenth of a second, as the bench asks.</summary>
    private const double Near = 0.1;

    [Theory]
    [InlineData(0.008f)]
    [InlineData(0.02f)]
    public void UnderSpeech_IsFoundWhereItIs(float gain)
    {
        (double from, double to) = Assert.Single(Hiss(TestSound.Sum(Talk, TestSound.Only(TestSound.White(Length, seed: 8, gain), From, To))));

        Assert.Equal(From, from, Near);
        Assert.Equal(To, to, Near);
    }

    /// <summary>A gain brings up the middle bands as well.</summary>
    [Fact]
    public void NoiseOfTheRoomThatRises_IsNone() => Assert.Empty(
        Hiss(TestSound.Sum(Talk, TestSound.Only(TestSound.Pink(Length, seed: 8, gain: 0.01f), From, To))));

    [Fact]
    public void Cloth_IsNone() => Assert.Empty(
        Hiss(TestSound.Sum(Talk, TestSound.Only(TestSound.Cloth(Length, seed: 8, gain: 0.1f), From, To))));

    /// <summary>Nobody speaks before 20 s, two at once and their echo after.</summary>
    [Fact]
    public void SpeechWithoutPauses_IsNone() => Assert.Empty(Hiss(TestSound.Sum(
        TestSound.Pink(Length, seed: 6, gain: 0.002f),
        TestSound.Only(TestSound.InRoom(Speech(5), seed: 3), 20, Length),
        TestSound.Only(TestSound.InRoom(Speech(9), seed: 4), 20, Length))));

    private static float[] Talk => TestSound.Sum(Speech(5), TestSound.Pink(Length, seed: 6, gain: 0.002f));

    private static float[] Speech(int seed) => TestSound.Speech(Length, seed, gain: 0.1f);

    private (double From, double To)[] Hiss(float[] heard)
    {
        (double From, double To)[] found = [.. HissDetector.Find(TestTake.Track(heard)).Select(span => (span.First / 100.0, span.End / 100.0))];
        output.WriteLine(string.Join('\n', found.Select(hiss => FormattableString.Invariant($"{hiss.From:0.00}-{hiss.To:0.00}"))));
        return found;
    }
}
