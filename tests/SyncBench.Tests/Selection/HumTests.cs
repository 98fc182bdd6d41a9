using SyncBench.Selection;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

public class HumTests(ITestOutputHelper output)
{
    private const double Length = 30;

    /// <summary>A tenth of a second, as the bench asks.</summary>
    private const double Near = 0.1;

    [Theory]
    [InlineData(50, 6, 8.5)]
    [InlineData(60, 6, 8.5)]
    [InlineData(50.03, 14.2, 15.8)]
    [InlineData(60.5, 20.7, 25)] // a generator
    [InlineData(49.6, 20.7, 25)]
    public void TwentyDecibelsUnderSpeech_IsFoundWhereItIs(double mainsHz, double from, double to)
    {
        float[] hum = TestSound.Only(TestSound.Hum(Length, 0.01f, _ => mainsHz), from, to);

        HumStretch found = Assert.Single(Hum(TestSound.Sum(Talk(voiceHz: 120), hum)));

        Assert.Equal(from, found.First / LineLevels.StepRate.PerSecond, Near);
        Assert.Equal(to, found.End / LineLevels.StepRate.PerSecond, Near);
    }

    /// <summary>The frequency of a grid wanders by some hundredths of a hertz within a minute (common practice).</summary>
    [Fact]
    public void ThroughoutAClip_IsOneStretch()
    {
        float[] hum = TestSound.Hum(Length, 0.01f, t => 50 + (0.04 * Math.Sin(t / 5)));

        HumStretch found = Assert.Single(Hum(TestSound.Sum(Talk(voiceHz: 120), hum)));

        Assert.Equal(0, found.First / LineLevels.StepRate.PerSecond, Near);
        Assert.Equal(Length, found.End / LineLevels.StepRate.PerSecond, Near);
    }

    [Theory]
    [InlineData(100)]
    [InlineData(120)]
    [InlineData(180)]
    public void AVoiceOnTheHarmonics_IsNone(double voiceHz) => Assert.Empty(Hum(Talk(voiceHz)));

    [Fact]
    public void AVowelHeldForASecond_IsNone()
    {
        float[] vowel = TestSound.Only(TestSound.Hum(Length, 0.1f, _ => 100), 10, 10.7);
        Assert.Empty(Hum(TestSound.Sum(Talk(voiceHz: 100), vowel)));
    }

    /// <summary>Someone may hold a note almost as still.</summary>
    [Theory]
    [InlineData(1.3, false)]
    [InlineData(1.6, true)]
    public void WhatIsOverSooner_IsNoFault(double seconds, bool isFault)
    {
        float[] hum = TestSound.Only(TestSound.Hum(Length, 0.01f, _ => 50), 10, 10 + seconds);
        Assert.Equal(isFault, HumDetector.Find(TestTake.Track(TestSound.Sum(Talk(voiceHz: 120), hum))).Count == 1);
    }

    [Fact]
    public void OneTone_IsNone()
    {
        float[] tone = [.. Enumerable.Range(0, (int)(Length * TestSound.Rate)).Select(n => 0.05f * MathF.Sin(MathF.Tau * (300 * n % TestSound.Rate) / TestSound.Rate))];
        Assert.Empty(Hum(TestSound.Sum(Talk(voiceHz: 120), tone)));
    }

    [Fact]
    public void ASignalThatIsLost_IsNone() => Assert.Empty(Hum(TestSound.Only(Talk(voiceHz: 120), 5, 12)));

    private static float[] Talk(double voiceHz) =>
        TestSound.Sum(TestSound.Speech(Length, seed: 5, gain: 0.1f, voiceHz), TestSound.Pink(Length, seed: 6, gain: 0.003f));

    private HumStretch[] Hum(float[] heard)
    {
        HumStretch[] found = [.. TestSound.Measure(heard).Hum[0]];
        output.WriteLine(string.Join('\n', found.Select(hum => FormattableString.Invariant($"{hum.First / 20:0.00}-{hum.End / 20:0.00}"))));
        return found;
    }
}
