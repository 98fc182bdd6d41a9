using System.Collections.Immutable;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Tests.Intake;

public class RoleRulesTests
{
    [Fact]
    public void WithoutSettings_AFolderOfOneKindNamesTheDevice()
    {
        ImmutableArray<Clip> clips = RoleRules.Assign(
            [Movie("CAM_A/A001C001.MP4"), Movie("CAM_A/A001C002.MP4"), Sound("RECORDER/T_001.WAV")], DumpSettings.Usual);

        Assert.Equal(["CAM_A", "CAM_A", "RECORDER"], clips.Select(clip => clip.Device.Name));
        Assert.Equal(
            [DeviceKind.Camera, DeviceKind.Camera, DeviceKind.Recorder], clips.Select(clip => clip.Device.Kind));
        Assert.Equal(clips[0].Device, clips[1].Device);
    }

    [Fact]
    public void WithoutSettings_SeriesOfNumbersInOneFolderAreDevices()
    {
        ImmutableArray<Clip> clips = RoleRules.Assign(
            [Movie("A001C001.MP4"), Movie("A001C002.MP4"), Movie("B001C001.MP4"), Sound("ROPE_001.WAV")], DumpSettings.Usual);

        Assert.Equal(["A", "A", "B", "ROPE"], clips.Select(clip => clip.Device.Name));
    }

    /// <summary>Cards of cameras write reel, clip, date and a few random letters into a name (common practice).</summary>
    [Fact]
    public void WithoutSettings_NumbersAmidNamesAreNoDevices() => Assert.Equal(
        ["CAM_A", "CAM_A", "CAM_A"],
        Names([Movie("CAM_A/A001C001_261125_R2EC.MOV"), Movie("CAM_A/A001C002_261125_R7XY.MOV"), Movie("CAM_A/A002/A002C001_261125_R0AB.MOV")]));

    [Fact]
    public void WithoutSettings_MakersTellDevicesApart_AndAClipThatSaysNoneGoesWithItsFormat()
    {
        MediaInfo phone = Movie("DAY2/C1.MP4") with { MadeBy = "Harbour One" };
        MediaInfo camera = Movie("DAY2/C2.MP4", channels: 2) with { MadeBy = "Quay 4K" };

        string[] names = Names([phone, camera, Movie("DAY2/C3.MP4", channels: 2)]);

        Assert.Equal(["DAY2 C Harbour One", "DAY2 C Quay 4K", "DAY2 C Quay 4K"], names);
    }

    [Fact]
    public void MonoFilesOfOneRecording_AreTracksOfOneRecorder()
    {
        MediaInfo[] set =
        [
            Sound("REC/ROPE_Tr1.WAV"), Sound("REC/ROPE_Tr2.WAV"),
            Sound("REC/T01_1.WAV") with { TimeReference = 1000 }, Sound("REC/T01_2.WAV") with { TimeReference = 1000 },
        ];

        ImmutableArray<Clip> clips = RoleRules.Assign(set, DumpSettings.Usual);

        Assert.Equal(["REC ROPE_Tr track 1", "REC ROPE_Tr track 2", "REC T track 1", "REC T track 2"], clips.Select(clip => clip.Device.Name));
        Assert.All(clips, clip => Assert.Contains("one of 2 mono files", clip.RoleReason, StringComparison.Ordinal));
    }

    /// <summary>FILE_SET of the open iXML specification: FAMILY_UID is common to the files of one recording.</summary>
    [Fact]
    public void FilesThatNameOneFamily_AreTracksOfOneRecorder_WhateverTheirNames()
    {
        MediaInfo[] set = [Family("REC/INES.WAV", "a1"), Family("REC/TOM.WAV", "a1"), Family("REC/YARD.WAV", "b7")];

        ImmutableArray<Clip> clips = RoleRules.Assign(set, DumpSettings.Usual);

        Assert.Equal(["REC INES track 1", "REC TOM track 2", "REC YARD"], clips.Select(clip => clip.Device.Name));
        Assert.NotNull(clips[0].MonoSet);
        Assert.Equal(clips[0].MonoSet, clips[1].MonoSet);
        Assert.Null(clips[2].MonoSet);
    }

    [Fact]
    public void ARuleForARecorderOfMonoFiles_NamesItsMicsInTheOrderOfTracks()
    {
        MediaInfo[] set = [Sound("REC/ROPE_Tr2.WAV"), Sound("REC/ROPE_Tr1.WAV")];
        var settings = new DumpSettings([new DeviceRule("REC/**", "BAG", Mics: [MicRole.Lavalier, MicRole.Boom])]);

        ImmutableArray<Clip> clips = RoleRules.Assign(set, settings);

        Assert.Equal([("BAG track 2", MicRole.Boom), ("BAG track 1", MicRole.Lavalier)], clips.Select(clip => (clip.Device.Name, clip.Mics[0].Role)));
    }

    [Theory]
    [InlineData(ClockZone.Unsaid, false, "2026-07-02T09:15:00+01:00")]
    [InlineData(ClockZone.Utc, false, "2026-07-02T10:15:00+01:00")]
    [InlineData(ClockZone.Utc, true, "2026-07-02T09:15:00+01:00")]
    [InlineData(ClockZone.Stated, true, "2026-07-02T09:15:00+00:00")]
    public void WithTheZoneOfThePlace_TimesOfDayAreReadInIt(ClockZone zone, bool clockIsLocal, string expected)
    {
        MediaInfo movie = Movie("CAM_A/1.MOV") with { Zone = zone, CreatedAt = new DateTimeOffset(2026, 7, 2, 9, 15, 0, TimeSpan.Zero) };
        var settings = new DumpSettings([new DeviceRule("**", "CAM_A", ClockIsLocal: clockIsLocal)]) { TimeZone = "Europe/Lisbon" };

        DateTimeOffset? at = Assert.Single(RoleRules.Assign([movie], settings)).Media.CreatedAt;

        Assert.Equal(expected, at?.ToString("yyyy-MM-ddTHH:mm:sszzz", System.Globalization.CultureInfo.InvariantCulture));
    }

    private static MediaInfo Family(string path, string family) => Sound(path) with
    {
        Notes = new RecorderNotes(null, null, null, null, null, null, []) { Family = family },
    };

    [Theory]
    [InlineData("REC/ROPE_1.WAV", "REC/ROPE_2.WAV", null, null)]
    [InlineData("REC/ROPE_1.WAV", "REC/ROPE_2.WAV", 1000L, 481_000L)]
    [InlineData("REC/ROPE_001.WAV", "REC/ROPE_002.WAV", 1000L, 1000L)]
    public void PiecesOfOneLength_AreNoTracks(string first, string second, long? firstReference, long? secondReference) => Assert.Equal(
        ["REC", "REC"], Names([Sound(first) with { TimeReference = firstReference }, Sound(second) with { TimeReference = secondReference }]));

    [Fact]
    public void ATracksName_SaysWhatItsMicIs()
    {
        MediaInfo movie = Movie("CAM_A/1.MOV") with
        {
            Audio =
            [
                new AudioStream(1, "pcm", 48_000, 1, MediaTime.Zero, MediaTime.FromSeconds(10)) { Name = "Onboard" },
                new AudioStream(2, "pcm", 48_000, 1, MediaTime.Zero, MediaTime.FromSeconds(10)) { Name = "Boom Ines" },
                new AudioStream(3, "pcm", 48_000, 1, MediaTime.Zero, MediaTime.FromSeconds(10)) { Name = "flavour" },
            ],
        };

        Clip clip = RoleRules.Assign([movie], DumpSettings.Usual)[0];

        Assert.Equal([MicRole.Scratch, MicRole.Boom, MicRole.Scratch], clip.Mics.Select(mic => mic.Role));
        Assert.Contains("channel 2 is named \"Boom Ines\"", clip.RoleReason, StringComparison.Ordinal);
    }

    [Fact]
    public void TheNameNearestToTheFile_SaysWhatItsMicIs() => Assert.Equal(
        MicRole.Boom, RoleRules.Assign([Sound("lavaliers/boom_01.WAV")], DumpSettings.Usual)[0].Mics[0].Role);

    [Fact]
    public void WithoutSettings_ACameraHearsScratchAndARecorderALavalier()
    {
        ImmutableArray<Clip> clips = RoleRules.Assign(
            [Movie("CAM_A/1.MP4", channels: 2), Sound("REC/1.WAV"), Sound("REC_boom/1.WAV")], DumpSettings.Usual);

        Assert.Equal([MicRole.Scratch, MicRole.Scratch], clips[0].Mics.Select(mic => mic.Role));
        Assert.Equal([MicRole.Lavalier], clips[1].Mics.Select(mic => mic.Role));
        Assert.Equal([MicRole.Boom], clips[2].Mics.Select(mic => mic.Role));
    }

    [Theory]
    [InlineData("CAM_A wide/1.MP4", "wide")]
    [InlineData("Close-up/1.MP4", "close")]
    [InlineData("CAM_A/1.MP4", "CAM_A")]
    public void WithoutSettings_TheAngleIsInTheName(string path, string angle) =>
        Assert.Equal(angle, RoleRules.Assign([Movie(path)], DumpSettings.Usual)[0].Device.Angle);

    [Fact]
    public void TheFirstRuleThatMatches_Decides()
    {
        var settings = new DumpSettings(
        [
            new DeviceRule("CAM_A/**", "A", "wide", [MicRole.Scratch, MicRole.Shotgun], 3.2),
            new DeviceRule("**/*.MP4", "B", "close"),
        ]);

        ImmutableArray<Clip> clips = RoleRules.Assign(
            [Movie("CAM_A/1.MP4", channels: 2), Movie("CAM_B/1.MP4")], settings);

        Assert.Equal(new Device("A", DeviceKind.Camera, "wide", 3.2), clips[0].Device);
        Assert.Equal([MicRole.Scratch, MicRole.Shotgun], clips[0].Mics.Select(mic => mic.Role));
        Assert.Equal(new Device("B", DeviceKind.Camera, "close", null), clips[1].Device);
        Assert.Contains("CAM_A/**", clips[0].RoleReason, StringComparison.Ordinal);
    }

    [Fact]
    public void ARuleThatMatchesNothing_LeavesTheUsual() =>
        Assert.Equal(
            "CAM_A",
            RoleRules.Assign([Movie("CAM_A/1.MP4")], new DumpSettings([new DeviceRule("DRONE/**", "D")]))[0].Device.Name);

    [Fact]
    public void AnAngleOrAMicCorrectedByHand_HoldsForTheWholeDevice()
    {
        MediaInfo[] media = [Movie("CAM_A/1.MP4"), Movie("CAM_A/2.MP4"), Movie("CAM_B/1.MP4"), Sound("RECORDER/1.WAV")];

        ImmutableArray<Clip> clips = Corrected(
            media, new RoleCorrection("CAM_A/2.MP4", Angle: "close"), new RoleCorrection("RECORDER/1.WAV", Mic: MicRole.Boom, Channel: 1));

        Assert.Equal(["close", "close", "CAM_B", null], clips.Select(clip => clip.Device.Angle));
        Assert.Equal(clips[0].Device, clips[1].Device);
        Assert.Equal((MicRole.Boom, false), (clips[3].Mics[0].Role, clips[3].Mics[0].IsAssumed));
        Assert.Equal([true, true, false, true], clips.Select(clip => clip.RoleReason.EndsWith("corrected by hand", StringComparison.Ordinal)));
    }

    [Fact]
    public void AFileMovedByHandToAnotherDevice_IsOneOfItsClips()
    {
        MediaInfo[] media = [Movie("CAM_A/1.MP4"), Movie("CAM_A/2.MP4"), Movie("CAM_B/1.MP4")];

        ImmutableArray<Clip> clips = Corrected(media, new RoleCorrection("CAM_A/2.MP4", Device: "CAM_B"));
        ImmutableArray<Clip> apart = Corrected(media, new RoleCorrection("CAM_A/2.MP4", Device: "drone", Angle: "top"));

        Assert.Equal(clips[2].Device, clips[1].Device);
        Assert.NotEqual(clips[0].Device, clips[1].Device);
        Assert.Equal([new Device("CAM_A", DeviceKind.Camera, "CAM_A", null), new Device("drone", DeviceKind.Camera, "top", null)], apart.Take(2).Select(clip => clip.Device));
    }

    [Theory]
    [InlineData("RECORDER/1.WAV", "close", null, "no picture")]
    [InlineData("CAM_A/1.MP4", null, 2, "1 channels")]
    [InlineData("CAM_A/9.MP4", "close", null, "no recording")]
    public void ACorrectionThatDoesNotFitItsFile_IsSaid(string file, string? angle, int? channel, string words)
    {
        SettingsException wrong = Assert.Throws<SettingsException>(() => Corrected(
            [Movie("CAM_A/1.MP4"), Sound("RECORDER/1.WAV")],
            new RoleCorrection(file, Angle: angle, Mic: channel is null ? null : MicRole.Boom, Channel: channel)));

        Assert.Contains(words, wrong.Message, StringComparison.Ordinal);
    }

    private static ImmutableArray<Clip> Corrected(MediaInfo[] media, params RoleCorrection[] roles) =>
        RoleRules.Assign(media, new DumpSettings(Corrections: new Corrections(Roles: [.. roles]), Devices: []));

    private static string[] Names(MediaInfo[] media) => [.. RoleRules.Assign(media, DumpSettings.Usual).Select(clip => clip.Device.Name)];

    private static MediaInfo Movie(string path, int channels = 1) => Media(path, channels) with
    {
        Video = [new VideoStream(0, "h264", Rate.Fps25, 640, 360, MediaTime.Zero, MediaTime.FromSeconds(10))],
    };

    private static MediaInfo Sound(string path) => Media(path, 1);

    private static MediaInfo Media(string path, int channels) => new(
        new MediaFile(path, "/dump/" + path, 1), "any", MediaTime.Zero, MediaTime.FromSeconds(10), [],
        [new AudioStream(0, "pcm", 48_000, channels, MediaTime.Zero, MediaTime.FromSeconds(10))], null, null, null);
}
