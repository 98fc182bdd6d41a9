using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Selection.Roles;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Selection.Roles;

/// <summary>Channels that nothing names, told apart by what they hear; the truth is known by construction.</summary>
public sealed class RolesBySoundTests(TalkInARoom talk) : IClassFixture<TalkInARoom>, IDisposable
{
    private readonly HeardClips _clips = new();

    public void Dispose() => _clips.Dispose();

    [Fact]
    public void OnARecorder_TheMicThatHearsFirstAndClearest_IsTheLavalier_AndTheOtherTheBoom() => IsTold(
        Recorder(talk.Boom, talk.Lavalier), [MicRole.Boom, MicRole.Lavalier],
        "channel 2 is the lavalier by its sound in R001.WAV: it is the clearest, channel 1 hears voices");

    [Fact]
    public void OnACamera_TheClearerOfTwoInOnePlace_IsTheShotgun_HoweverLoud() => IsTold(
        Camera(talk.Onboard, Quieter(talk.Shotgun)), [MicRole.Scratch, MicRole.Shotgun], "channel 2 is the shotgun by its sound");

    [Fact]
    public void OnACamera_TheClearerThatHearsFarAhead_IsNearTheTalker_WornOrOnAStand() => IsTold(
        Camera(talk.Lavalier, talk.Onboard), [MicRole.Boom, MicRole.Scratch], "a lavalier by radio sounds so too");

    [Fact]
    public void TheOtherPolarity_IsTheSameMic() => IsTold(
        Camera([.. talk.Shotgun.Select(sample => -sample)], talk.Onboard), [MicRole.Shotgun, MicRole.Scratch], "channel 1 is the shotgun by its sound");

    [Fact]
    public void TwoMicsOfOneKind_AreNotToldApart() => IsNotTold(Camera(talk.Onboard, talk.OnboardRight));

    [Fact]
    public void TwoTalkersWithALavalierEach_StayLavaliers() => IsNotTold(Recorder(talk.Lavalier, talk.LavalierOfTom));

    [Fact]
    public void ASafetyTrack_StaysWhatItIsACopyOf() => IsNotTold(Recorder(talk.Lavalier, Quieter(talk.Lavalier)));

    [Fact]
    public void ALineWithoutVoices_MakesTheOtherNothing() => IsNotTold(Camera(talk.Onboard, TalkInARoom.Hiss));

    [Fact]
    public void TooLittleSpeech_IsNoEvidence() => IsNotTold(Recorder(talk.Boom[..64_000], talk.Lavalier[..64_000]));

    [Fact]
    public void WhatSettingsOrNamesSay_StandsWhateverIsHeard()
    {
        (Clip clip, ClipSound sound) = Camera(talk.Onboard, talk.Shotgun);
        Clip named = clip with { Mics = [.. clip.Mics.Select(mic => mic with { IsAssumed = false })] };

        Assert.Equal(named, RolesBySound.Tell([(named, sound)])[0]);
    }

    [Fact]
    public void TheLongestClip_SpeaksForAllOfItsDevice()
    {
        (Clip Clip, ClipSound Sound) longest = Recorder(talk.Boom, talk.Lavalier), shorter = Recorder(talk.Boom[..64_000], talk.Lavalier[..64_000]);

        ImmutableArray<Clip> told = RolesBySound.Tell([(shorter.Clip, shorter.Sound), (longest.Clip, longest.Sound)]);

        Assert.All(told, clip => Assert.Equal([MicRole.Boom, MicRole.Lavalier], clip.Mics.Select(mic => mic.Role)));
    }

    [Fact]
    public void OfTwoRecordersWithAMicEach_TheFarLessClear_IsTheBoom()
    {
        ImmutableArray<Clip> told = RolesBySound.Tell([OfOneMic("BAG", talk.Lavalier), OfOneMic("CART", talk.Boom)]);

        Assert.Equal([MicRole.Lavalier, MicRole.Boom], told.Select(clip => clip.Mics[0].Role));
        Assert.Matches("taken for a boom, as it sounds [0-9]+ dB less clear than BAG", told[1].RoleReason);
    }

    [Fact]
    public void TwoRecordersThatTwoTalkersWear_StayLavaliers() => Assert.All(
        RolesBySound.Tell([OfOneMic("BAG 1", talk.Lavalier), OfOneMic("BAG 2", talk.LavalierOfTom)]),
        clip => Assert.Equal(MicRole.Lavalier, clip.Mics[0].Role));

    private (Clip Clip, ClipSound? Sound) OfOneMic(string device, float[] sound) =>
        Heard(HeardClips.Recorder(device), $"{device}/R001.WAV", MicRole.Lavalier, [sound]);

    private static void IsTold((Clip Clip, ClipSound Sound) heard, MicRole[] roles, string why)
    {
        Clip told = RolesBySound.Tell([heard])[0];
        Assert.True(roles.SequenceEqual(told.Mics.Select(mic => mic.Role)), told.RoleReason);
        Assert.Contains(why, told.RoleReason, StringComparison.Ordinal);
    }

    private static void IsNotTold((Clip Clip, ClipSound Sound) heard)
    {
        Clip told = RolesBySound.Tell([heard])[0];
        Assert.True(heard.Clip.Mics.SequenceEqual(told.Mics), told.RoleReason);
        Assert.Contains("its sound does not tell what each mic is", told.RoleReason, StringComparison.Ordinal);
    }

    private (Clip Clip, ClipSound Sound) Recorder(params float[][] channels) =>
        Heard(HeardClips.Recorder("RECORDER"), "RECORDER/R001.WAV", MicRole.Lavalier, channels);

    private (Clip Clip, ClipSound Sound) Camera(params float[][] channels) =>
        Heard(HeardClips.Camera("CAM_A"), "CAM_A/A001.MP4", MicRole.Scratch, channels);

    private (Clip Clip, ClipSound Sound) Heard(Device device, string file, MicRole usual, float[][] channels)
    {
        HeardClip heard = _clips.Add(device, file, channels);
        Clip clip = heard.Clip with { Mics = [.. channels.Select((_, channel) => new MicChannel(channel, usual) { IsAssumed = true })] };
        return (clip, new ClipSound(heard.Bands, [], []) { Samples = heard.Sound });
    }

    private static float[] Quieter(float[] sound) => Array.ConvertAll(sound, sample => 0.25f * sample);
}
