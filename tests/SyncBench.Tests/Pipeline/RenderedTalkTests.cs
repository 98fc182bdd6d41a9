using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Tests.Pipeline;

/// <summary>What sound and devices do to a dump of real files, one case each; the truth is known by construction.</summary>
public class RenderedTalkTests(RenderedTalk talk) : IClassFixture<RenderedTalk>
{
    [Fact]
    public void AFourChannelRecorder_IsTheReference_ByItsLavalierAlone()
    {
        FileOutcome recorder = File("RECORDER/R001.WAV");
        Assert.True(talk.Result.Clocks.Single(clock => clock.Device.Name == "RECORDER").IsReference);
        Assert.Equal(MicRole.Lavalier, recorder.Clip!.Mics[1].Role);
        Assert.Equal(4, recorder.Clip.Mics.Length);
    }

    [Theory]
    [InlineData("RECORDER_2/S001.WAV", 0.1)] // a second recorder,
    [InlineData("RECORDER_2/S002.WAV", 0.1)] // stopped and started
    [InlineData("CAM_A/A001.MP4", 0.1)] // 128 kbit/s joint-stereo AAC
    [InlineData("CAM_B/B001.MOV", 0.1)] // mono, 44.1 kHz, polarity reversed
    [InlineData("CAM_C/C001.MP4", 0.25)] // 10 m away, distance_m set
    [InlineData("CAM_D/D001.MP4", 0.1)] // its sound 80 ms late, picture_offset_ms set
    [InlineData("CAM_E/E001.MOV", 0.1)]
    [InlineData("CAM_F/F001.MP4", 0.1)] // before its clock jumps
    [InlineData("CAM_G/G001.MP4", 0.1)] // automatic gain riding
    public void IsPlacedWhereItBelongs(string file, double withinMs)
    {
        FileOutcome outcome = File(file);
        Assert.Equal(Outcome.Placed, outcome.Outcome);
        Assert.Equal(talk.StartOf(file), OnRecorder(outcome, 0), withinMs / 1000);
    }

    [Fact]
    public void FilesThatGoOnWithoutAGap_AreJoined_AndARealGapStays()
    {
        FileOutcome first = File("CAM_E/E001.MOV"), second = File("CAM_E/E002.MOV"), third = File("CAM_E/E003.MOV");
        Assert.Equal("CAM_E/E001.MOV", second.Placement!.Continues?.Path);
        Assert.Equal(first.Placement!.CommonRange.End, second.Placement.CommonRange.Start);
        Assert.Null(third.Placement!.Continues);
        Assert.Equal(
            RenderedTalk.GapSeconds, (third.Placement.CommonRange.Start - second.Placement.CommonRange.End).ToSeconds(), 0.0005);
    }

    [Fact]
    public void ALostBuffer_IsFound_AndTheClipFollowsItsClockOnBothSides()
    {
        FileOutcome clip = File("CAM_F/F001.MP4");
        ClockJump jump = Assert.Single(clip.Placement!.Map.Jumps);
        Assert.Equal(40, jump.At.ToSeconds(), 0.5);
        Assert.Equal(RenderedTalk.LostSeconds, jump.Lost.ToSeconds(), 0.0002);
        double before = OnRecorder(clip, 30), after = OnRecorder(clip, 60);
        Assert.Equal(30 + RenderedTalk.LostSeconds, (after - before) / (1 + ((22 - 12) * 1e-6)), 0.0002);
    }

    [Theory]
    [InlineData("CAM_H/H001.MP4")] // the same speakers on another day
    [InlineData("CAM_H/H002.MP4")] // noise
    [InlineData("CAM_H/H003.MP4")] // a tone
    [InlineData("CAM_H/H004.MP4")] // digital silence
    public void WhatDoesNotBelong_IsNotPlaced(string file) => Assert.Equal(Outcome.SetAside, File(file).Outcome);

    private FileOutcome File(string path) => talk.Result.Files.Single(file => file.File.Path == path);

    /// <summary>The instant of a file in seconds of the reference recorder.</summary>
    private double OnRecorder(FileOutcome outcome, double seconds) => File("RECORDER/R001.WAV").Placement!.Map.ToClip(
        outcome.Placement!.Map.ToCommon(MediaTime.FromSeconds(seconds))).ToSeconds();
}
