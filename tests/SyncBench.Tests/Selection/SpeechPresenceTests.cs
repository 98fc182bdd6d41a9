using SyncBench.Alignment;
using SyncBench.Selection;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

public class SpeechPresenceTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void NoiseAlone_IsNoSpeech(bool pink)
    {
        float[] noise = pink ? TestSound.Pink(60, seed: 21, 0.01f) : TestSound.White(60, seed: 21, 0.01f);
        float[] presence = Presence(noise);
        output.WriteLine(FormattableString.Invariant($"taken for speech: {presence.Average(p => p > 0.5f ? 1.0 : 0):0.0000}"));
        Assert.InRange(presence.Average(p => p > 0.5f ? 1.0 : 0), 0, 0.01);
    }

    /// <summary>
    /// The truth is the level of the same speech without noise: speech within 12 dB of its loudest tenth, silence more than
    /// 45 dB under it.
    /// </summary>
    [Theory]
    [InlineData(30, 0.98, 0.03)]
    [InlineData(15, 0.95, 0.03)]
    [InlineData(5, 0.60, 0.03)]
    public async Task SpeechInARoom_IsFoundAndPausesAreNot(double snrDb, double found, double falseAlarms)
    {
        BandLevels clean = TestSound.Levels(await Ropewalk.HearAsync(Ropewalk.Lavalier, 80));
        float[] presence = Presence(await Ropewalk.HearAsync(Ropewalk.Lavalier, snrDb));
        float[] level = [.. Enumerable.Range(0, presence.Length).Select(step => 10 * MathF.Log10(SpeechBands.Power(clean.Step(step))))];
        float loud = level.Order().ElementAt((int)(level.Length * 0.9));

        double hits = Enumerable.Range(0, level.Length).Where(i => level[i] > loud - 12).Average(i => presence[i] > 0.5f ? 1.0 : 0);
        double misses = Enumerable.Range(0, level.Length).Where(i => level[i] < loud - 45).Average(i => presence[i] > 0.5f ? 1.0 : 0);
        output.WriteLine(FormattableString.Invariant($"{snrDb} dB: speech found {hits:0.000}, pauses taken for speech {misses:0.000}"));
        Assert.InRange(hits, found, 1);
        Assert.InRange(misses, 0, falseAlarms);
    }

    /// <summary>A tone at 125 Hz, 6 dB under the speech, stands for the hum of an M before a word.</summary>
    [Fact]
    public void AVoiceTooLowToBeUnderstood_IsNoPlaceForACut()
    {
        float[] talk = TestSound.Only(TestSound.Speech(20, seed: 5, gain: 0.1f), 0, 15);
        for (int n = 17 * TestSound.Rate; n < 18 * TestSound.Rate; n++)
        {
            talk[n] += 0.07f * MathF.Sin(2 * MathF.PI * 125 * n / TestSound.Rate);
        }

        float[] samples = TestSound.Sum(talk, TestSound.Pink(20, seed: 6, gain: 0.001f));
        MicTrack track = TestTake.Track(samples);
        float[] joint = SpeechPresence.Of(track);
        float[] audible = SpeechPresence.Audible([track], joint, new int[track.Count]);
        Assert.All(joint[1710..1790], share => Assert.InRange(share, 0, 0.5));
        Assert.All(audible[1710..1790], share => Assert.Equal(1, share));
        Assert.All(audible[1600..1690], share => Assert.InRange(share, 0, 0.3));
    }

    /// <summary>A voice 4 dB above the noise of the mic that is heard: who asks sits by the camera.</summary>
    [Theory]
    [InlineData(true, 1)]
    [InlineData(false, 0)]
    public void ASoftVoiceThatAnotherMicHearsClearly_IsNoPlaceForACut(bool other, float audibleThere)
    {
        const float Noise = 0.003f;
        float[] talk = TestSound.Only(TestSound.Speech(20, seed: 5, gain: 0.04f), 0, 15);
        float[] soft = TestSound.Only(TestSound.White(20, seed: 8, gain: 1), 17, 18);
        MicTrack lavalier = TestTake.Track(TestSound.Sum(talk, TestSound.White(20, seed: 6, Noise), TestSound.Gain(soft, -47.6)));
        MicTrack camera = TestTake.Track(TestSound.Sum(talk, TestSound.White(20, seed: 7, Noise), TestSound.Gain(soft, other ? -35 : -90)));
        float[] joint = SpeechPresence.Of(lavalier);
        float[] audible = SpeechPresence.Audible([lavalier, camera], joint, new int[joint.Length]);
        Assert.Equal(audibleThere, audible[1710..1790].Average(share => share >= 1 ? 1f : 0f), 0.2f);
    }

    private static float[] Presence(float[] samples) => SpeechPresence.Of(TestTake.Track(samples));
}
