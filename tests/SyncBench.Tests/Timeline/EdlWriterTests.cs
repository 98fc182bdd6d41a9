using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Time;
using SyncBench.Timeline;

namespace SyncBench.Tests.Timeline;

/// <summary>Lists as a strict reader sees them; where its rules come from is told in <see cref="EdlReader"/>.</summary>
public class EdlWriterTests
{
    public static TheoryData<int, int, string> Rates => new()
    {
        { 25, 1, "10:00:00:00" }, { 24_000, 1_001, "10:00:00:00" }, { 30_000, 1_001, "10:00:00;00" },
        { 30_000, 1_001, "10:00:00:00" }, { 50, 1, "10:00:00:00" }, { 24, 1, "10:00:00:00" }, { 30, 1, "10:00:00:00" },
        { 60_000, 1_001, "10:00:00;00" }, { 60, 1, "10:00:00:00" },
    };

    [Fact]
    public void ThereIsAListForEachAngleAndOneForDialogue() =>
        Assert.Equal(
            ["WIDE.edl", "CLOSE.edl", "DIALOGUE.edl"],
            EdlWriter.Lists(TimelineBuilder.Build(CutExamples.Hour())).Select(list => list.FileName));

    /// <summary>The reader asks for columns, equal lengths and labels that exist; here each cut also lies where the model has it.</summary>
    [Theory]
    [MemberData(nameof(Rates))]
    public void Cuts_LieWhereTheCutHasThem_OnWholeFrames(int numerator, int denominator, string timecode)
    {
        var rate = new Rate(numerator, denominator);
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour(rate, timecode));
        EdlReader[] lists = Read(timeline);

        Assert.Equal(3, lists.Length);
        foreach ((TimelineTrack track, EdlReader list) in timeline.Tracks.Zip(lists))
        {
            Assert.Equal(timecode.Contains(';'), list.IsDropFrame);
            Assert.Equal(track.Items.Length, list.Cuts.Count);
            foreach ((TimelineItem item, EdlCut cut) in track.Items.Zip(list.Cuts))
            {
                Assert.Equal(track.Kind == TrackKind.Picture ? "V" : item.Mic!.Channel == 0 ? "A" : "A2", cut.Channel);
                Assert.Equal(item.Clip.File.Path, cut.SourceFile);
                Assert.Equal(timeline.FirstFrame + Frames(item.RecordRange.Start, rate), cut.RecordIn);
                Assert.Equal(timeline.FirstFrame + Frames(item.RecordRange.End, rate), cut.RecordOut);
            }

            Assert.All(list.Cuts.Zip(list.Cuts.Skip(1)), pair => Assert.True(pair.First.RecordOut <= pair.Second.RecordIn));
        }
    }

    [Theory]
    [MemberData(nameof(Rates))]
    public void SourceTimes_AreTheFilesOwn(int numerator, int denominator, string timecode)
    {
        var rate = new Rate(numerator, denominator);
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour(rate, timecode));
        EdlReader[] lists = Read(timeline);
        Assert.True(TimecodeFormat.Of(rate, timecode.Contains(';')).TryParse(timecode, out long first, out _));

        Assert.Equal(first, lists[0].Cuts[0].SourceIn);
        Assert.Equal(0, lists[1].Cuts[0].SourceIn);
        Assert.Equal(
            timeline.Tracks[0].Items.Select(item => first + Frames(item.SourceStart, rate)),
            lists[0].Cuts.Select(cut => cut.SourceIn));
        Assert.Contains($"COMMENT: REEL A001C001 IS CAM_A/A001C001.MP4, SOURCE TIMES COUNT FROM its timecode {timecode}", lists[0].Header);
        Assert.Contains("COMMENT: REEL B001C001 IS CAM_B/B001C001.MOV, SOURCE TIMES COUNT FROM zero at its start", lists[1].Header);
        Assert.Contains("COMMENT: REEL TALLOWIC IS RECORDER/TALLOWICK_001.WAV, SOURCE TIMES COUNT FROM its time reference", lists[2].Header);
    }

    [Theory]
    [MemberData(nameof(Rates))]
    public void WhatIsRead_CanBeWrittenAgain_ToTheCharacter(int numerator, int denominator, string timecode)
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour(new Rate(numerator, denominator), timecode));

        Assert.All(
            EdlWriter.Lists(timeline),
            list => Assert.Equal(list.Text, EdlReader.Read(list.Text, timeline.Numbering.FramesPerSecond).Write()));
    }

    /// <summary>SMPTE ST 12-1: the reader counts what is left out by itself. Every minute of a day, two frames around its start.</summary>
    [Theory]
    [InlineData(30_000)]
    [InlineData(60_000)]
    public void DropFrame_IsRightAtEveryMinuteOfADay(int numerator)
    {
        var rate = new Rate(numerator, 1_001);
        int counted = numerator / 1_000;
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour(rate, "00:00:00;00"));
        TimelineItem item = timeline.Tracks[0].Items[0];
        long leftOut = counted / 15;
        long[] around = [.. Enumerable.Range(1, 1_439).Select(minute =>
            (minute * 60L * counted) - (leftOut * (minute - (minute / 10))) + (minute % 10 == 0 ? 0 : leftOut) - 1)];
        TimelineTrack track = timeline.Tracks[0] with
        {
            Items = [.. around.Select(first => item with { RecordRange = new TimeRange(MediaTime.FromUnits(first, rate), MediaTime.FromUnits(2, rate)) })],
        };

        EdlReader[] lists = Read(timeline with { FirstFrame = 0, Tracks = [track] });

        Assert.Equal(around, lists.SelectMany(list => list.Cuts).Select(cut => cut.RecordIn));
        string last = EdlWriter.Lists(timeline with { FirstFrame = 0, Tracks = [track] }).Last().Text;
        Assert.Contains($" 23:58:59;{counted - 1} 23:59:00;{leftOut + 1:00}\r\n", last, StringComparison.Ordinal);
    }

    /// <summary>40 ms, as the dialogue files crossfade: one frame at 25, two at 50.</summary>
    [Theory]
    [InlineData(25, 1)]
    [InlineData(50, 2)]
    public void AChangeBetweenMicsOfOneChannel_Dissolves(int fps, int frames)
    {
        EdlCut[] cuts = [.. Read(TwoMics(new Rate(fps), firstSeconds: 60, secondChannel: 0))[^1].Cuts];

        Assert.Equal(2, cuts.Length);
        Assert.Null(cuts[0].From);
        Assert.Equal((frames, cuts[0].Reel, cuts[0].SourceOut), (cuts[1].Dissolve, cuts[1].From!.Reel, cuts[1].From!.SourceIn));
        Assert.Equal(cuts[0].RecordOut, cuts[1].RecordIn);
        Assert.Contains("FROM CLIP NAME:  1", cuts[1].Comments);
        Assert.Equal("A001", cuts[1].ClipName);
    }

    /// <summary>The layout dissolves within a channel, and what fades out has to be there.</summary>
    [Theory]
    [InlineData(60, 1)]
    [InlineData(30, 0)]
    public void WhereADissolveCannotBe_TheChangeIsACut(double firstSeconds, int secondChannel)
    {
        EdlCut[] cuts = [.. Read(TwoMics(Rate.Fps25, firstSeconds, secondChannel))[^1].Cuts];

        Assert.Equal([0, 0], cuts.Select(cut => cut.Dissolve));
        Assert.Equal(secondChannel == 0 ? ["A", "A"] : ["A", "A2"], cuts.Select(cut => cut.Channel));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(50)]
    [InlineData(-50)]
    public void WhereFilesOfOneMicMeet_TheListHasNoHole(double ppm)
    {
        EdlReader list = Read(TimelineBuilder.Build(CutExamples.Split(ppm, Rate.Fps25, [5_000_003, 4_000_001, 3_000_007])))[^1];

        Assert.Equal(3, list.Cuts.Select(cut => cut.Reel).Distinct().Count());
        Assert.All(list.Cuts.Zip(list.Cuts.Skip(1)), pair => Assert.Equal(pair.First.RecordOut, pair.Second.RecordIn));
        foreach ((EdlCut before, EdlCut repeated) in list.Cuts.Zip(list.Cuts.Skip(1)).Where(pair => pair.Second.Comments.Any(c => c.Contains("REPEATED", StringComparison.Ordinal))))
        {
            Assert.Equal((before.Reel, before.SourceOut), (repeated.Reel, repeated.SourceOut));
            Assert.InRange(repeated.SourceOut - repeated.SourceIn, 1, 2);
        }
    }

    [Fact]
    public void EachList_SaysWhatItsLayoutDoesNotHold() =>
        Assert.All(
            Read(TimelineBuilder.Build(CutExamples.Hour())),
            list => Assert.Contains(list.Header, line => line.StartsWith("COMMENT: NOT HELD BY THIS LAYOUT, SEE timeline.otio: ", StringComparison.Ordinal)));

    private static TimelineModel TwoMics(Rate rate, double firstSeconds, int secondChannel)
    {
        Clip recorder = CutExamples.Recorder("RECORDER/1.WAV", firstSeconds);
        Clip camera = CutExamples.Camera("CAM_A/A001.MP4", "CAM_A", "wide", rate, 60);
        Placement[] placed = [CutExamples.Place(recorder, 0, 0), CutExamples.Place(camera, 0, 0)];
        var take = new Take("take 1", CutExamples.Between(0, 60), [.. placed]);
        return TimelineBuilder.Build(CutExamples.Result(placed, new TakeSound(
            take,
            [
                new Segment(CutExamples.Between(0, 30), new MicSource(placed[0], recorder.Mics[0]), "one"),
                new Segment(CutExamples.Between(30, 60), new MicSource(placed[1], camera.Mics[secondChannel]), "other"),
            ],
            [],
            [])));
    }

    /// <summary>TimeReference is one hour of samples (EBU Tech 3285): frame 90,000 at 25.</summary>
    [Fact]
    public void SoundOfTheRecorder_IsWithinHalfAFrameOfItsPlace()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());
        TimelineItem item = timeline.Tracks[2].Items[0];
        EdlCut cut = Read(timeline)[2].Cuts[0];

        Assert.InRange((item.SourceStart.ToSeconds() * 25) + 90_000 - cut.SourceIn, -0.5, 0.5);
    }

    [Fact]
    public void ATimecodeThatDoesNotExist_IsNotUsedAndThatIsSaid()
    {
        EdlReader wide = Read(TimelineBuilder.Build(CutExamples.Hour(Rate.Ntsc30, "00:01:00;00")))[0];

        Assert.Equal(0, wide.Cuts[0].SourceIn);
        Assert.Contains(wide.Header, line => line.EndsWith(
            "zero at its start: \"00:01:00;00\" is left out in drop-frame counting", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(24_000, 1_001, "10:00:00:12", "10:00:00:12")]
    [InlineData(50, 1, "10:00:00:49", "10:00:00:24")]
    public void AFileAtAnotherRate_KeepsTheTimeItsLabelSays(int numerator, int denominator, string label, string inList)
    {
        Clip wide = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", Rate.Fps25, 60);
        Clip other = CutExamples.Camera("CAM_B/1.MP4", "CAM_B", "close", new Rate(numerator, denominator), 30, label);
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Result(
            [CutExamples.Place(wide, 0, 0), CutExamples.Place(other, 10, 0)]));

        EdlCut cut = Read(timeline)[1].Cuts.Single();

        Assert.Equal(inList, new TimecodeFormat(25, false).Format(cut.SourceIn));
    }

    /// <summary>Within the file, though its last sample lies between two frames and its place is rounded.</summary>
    [Theory]
    [InlineData(0.019)]
    [InlineData(0.021)]
    public void NoCut_ReachesOutOfItsFile(double offset)
    {
        Clip wide = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", Rate.Fps25, 60);
        Clip recorder = CutExamples.Recorder("RECORDER/1.WAV", 9.99);
        Placement[] placed = [CutExamples.Place(wide, 0, 0), CutExamples.Place(recorder, offset, 0)];
        var take = new Take("take 1", placed[1].CommonRange, [.. placed]);
        var sound = new TakeSound(
            take, [new Segment(take.CommonRange, new MicSource(placed[1], recorder.Mics[0]), "lavalier: alone")], [], []);

        EdlCut cut = Read(TimelineBuilder.Build(CutExamples.Result(placed, sound)))[1].Cuts.Single();

        Assert.InRange(cut.SourceIn, 0, 1);
        Assert.InRange(cut.SourceOut, 247, 249); // 249.75 frames
    }

    [Fact]
    public void Reels_AreUnique_AndTheSameInEveryList()
    {
        Clip a = CutExamples.Camera("CAM_A/C0001.MP4", "CAM_A", "wide", Rate.Fps25, 60);
        Clip b = CutExamples.Camera("CAM_B/C0001.MP4", "CAM_B", "close", Rate.Fps25, 60);
        Clip c = CutExamples.Camera("CAM_C/C00012.MP4", "CAM_C", "top", Rate.Fps25, 60);
        Clip d = CutExamples.Camera("CAM_D/black.mp4", "CAM_D", "side", Rate.Fps25, 60);
        Clip e = CutExamples.Camera("CAM_E/縄.mp4", "CAM_E", "medium", Rate.Fps25, 60);
        Placement[] placed = [.. new[] { a, b, c, d, e }.Select(clip => CutExamples.Place(clip, 0, 0))];
        var take = new Take("take 1", CutExamples.Between(0, 60), [.. placed]);
        var sound = new TakeSound(
            take, [new Segment(take.CommonRange, new MicSource(placed[1], b.Mics[1]), "shotgun: alone")], [], []);

        EdlReader[] lists = Read(TimelineBuilder.Build(CutExamples.Result(placed, sound)));

        var reelOfFile = lists.SelectMany(list => list.Cuts).Select(cut => (EdlReader.Name(cut.SourceFile), cut.Reel)).Distinct().ToArray();
        Assert.Equal(
            [
                ("CAM_A/C0001.MP4", "C0001"), ("CAM_B/C0001.MP4", "C00012"), ("CAM_C/C00012.MP4", "C000122"),
                ("CAM_D/black.mp4", "BLACK2"), ("CAM_E/縄.mp4", "CLIP"),
            ],
            reelOfFile.Order());
    }

    [Theory]
    [InlineData("CAM_A/x\r\n002  EVIL     V     C        00:00:00:00 00:00:01:00 00:00:00:00 00:00:01:00.MP4")]
    [InlineData("CAM_A/x\n* SOURCE FILE: other.MP4")]
    [InlineData("CAM_A/x\u0085y\u2028z\u000bw.MP4")]
    [InlineData("CAM_A/Tjære \\u0041.MP4")]
    [InlineData("CAM_A/縄🪢.MP4")]
    public void AFileName_CannotForgeALine_AndCanBeReadBack(string file)
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour(wideFile: file));
        EdlReader wide = Read(timeline)[0];

        Assert.Equal(timeline.Tracks[0].Items.Length, wide.Cuts.Count);
        Assert.All(wide.Cuts, cut => Assert.Equal(2, cut.Comments.Count));
        Assert.All(wide.Cuts, cut => Assert.Equal(file, EdlReader.Name(cut.SourceFile)));
    }

    [Fact]
    public void ALongName_LeavesTheTitleItsEnd()
    {
        DumpResult hour = CutExamples.Hour() with { Name = "Tallowick\r\n" + new string('x', 200) };

        Assert.All(
            Read(TimelineBuilder.Build(hour)).Zip(["wide (CAM_A)", "close (CAM_B)", "Dialogue"]),
            list => Assert.EndsWith(" " + list.Second, list.First.Title, StringComparison.Ordinal));
    }

    [Fact]
    public void Beyond999Events_ASecondListBegins()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());
        TimelineItem item = timeline.Tracks[0].Items[0];
        TimelineTrack many = timeline.Tracks[0] with
        {
            Items =
            [
                .. Enumerable.Range(0, 1200).Select(i => item with
                {
                    RecordRange = new TimeRange(MediaTime.FromUnits(i, Rate.Fps25), Rate.Fps25.Unit),
                }),
            ],
        };

        TimelineModel long1 = timeline with { Tracks = [many] };

        Assert.Equal(["WIDE.edl", "WIDE-2.edl"], EdlWriter.Lists(long1).Select(list => list.FileName));
        Assert.Equal([999, 201], Read(long1).Select(list => list.Cuts.Count));
        Assert.Equal(Read(long1)[0].Cuts[^1].RecordOut, Read(long1)[1].Cuts[0].RecordIn);
        Assert.EndsWith("-2", Read(long1)[1].Title, StringComparison.Ordinal);
    }

    [Fact]
    public void TwoCamerasOfOneAngle_HaveTwoLists()
    {
        Clip a = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", "wide", Rate.Fps25, 60);
        Clip b = CutExamples.Camera("CAM_B/1.MP4", "CAM_B", "wide", Rate.Fps25, 60);
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Result([CutExamples.Place(a, 0, 0), CutExamples.Place(b, 0, 0)]));

        Assert.Equal(["WIDE.edl", "WIDE_2.edl"], EdlWriter.Lists(timeline).Select(list => list.FileName));
    }

    [Theory]
    [InlineData("../../etc/passwd", "______ETC_PASSWD.edl")]
    [InlineData("縄", "_.edl")]
    public void AnAngle_IsNoPath(string angle, string fileName)
    {
        Clip clip = CutExamples.Camera("CAM_A/1.MP4", "CAM_A", angle, Rate.Fps25, 60);

        Assert.Equal(fileName, EdlWriter.Lists(TimelineBuilder.Build(CutExamples.Result([CutExamples.Place(clip, 0, 0)]))).Single().FileName);
    }

    [Fact]
    public void TheCulture_ChangesNothing()
    {
        EdlList[] before = [.. EdlWriter.Lists(TimelineBuilder.Build(CutExamples.Hour(Rate.Ntsc30, "10:00:00;00")))];
        using var german = Culture.German();

        Assert.Equal(before, EdlWriter.Lists(TimelineBuilder.Build(CutExamples.Hour(Rate.Ntsc30, "10:00:00;00"))));
    }

    [Fact]
    public void ShortLists_AreThese()
    {
        EdlList[] lists = [.. EdlWriter.Lists(TimelineBuilder.Build(CutExamples.Short()))];

        Assert.Equal(
            """
            TITLE: ropewalk-day2 wide (CAM_A)
            FCM: NON-DROP FRAME
            * COMMENT: 25/1 FRAMES PER SECOND, FIRST FRAME 01:00:00:00
            * COMMENT: NOT HELD BY THIS LAYOUT, SEE timeline.otio: FURTHER TRACKS, MARKERS AND THEIR COMMENTS
            * COMMENT: NOT HELD BY THIS LAYOUT, SEE timeline.otio: FRAME RATES OF FILES THAT RUN AT ANOTHER THAN THE LIST
            * COMMENT: NOT HELD BY THIS LAYOUT, SEE timeline.otio: LENGTH OF THE FILES, CLOCK RATES, CERTAINTY
            * COMMENT: REEL A001C001 IS CAM_A/A001C001.MP4, SOURCE TIMES COUNT FROM its timecode 10:00:00:00
            001  A001C001 V     C        10:00:00:00 10:00:04:00 01:00:01:00 01:00:05:00
            * FROM CLIP NAME:  A001C001
            * SOURCE FILE: CAM_A/A001C001.MP4

            """.ReplaceLineEndings("\r\n"),
            lists[0].Text);
        Assert.Equal(
            """
            TITLE: ropewalk-day2 Dialogue
            FCM: NON-DROP FRAME
            * COMMENT: 25/1 FRAMES PER SECOND, FIRST FRAME 01:00:00:00
            * COMMENT: NOT HELD BY THIS LAYOUT, SEE timeline.otio: PLACES BETWEEN FRAMES: SOUND MAY BE HALF A FRAME OFF
            * COMMENT: NOT HELD BY THIS LAYOUT, SEE timeline.otio: CHANNELS ABOVE 4: THEY STAND AS A, WITH A COMMENT
            * COMMENT: NOT HELD BY THIS LAYOUT, SEE timeline.otio: MICS THAT WERE NOT CHOSEN, FAULTS, GAIN
            * COMMENT: NOT HELD BY THIS LAYOUT, SEE timeline.otio: CROSSFADES BETWEEN TWO CHANNELS OR SHORTER THAN A FRAME
            * COMMENT: NOT HELD BY THIS LAYOUT, SEE timeline.otio: LENGTH OF THE FILES, CLOCK RATES, CERTAINTY
            * COMMENT: REEL TALLOWIC IS RECORDER/TALLOWICK_001.WAV, SOURCE TIMES COUNT FROM zero at its start
            * COMMENT: REEL A001C001 IS CAM_A/A001C001.MP4, SOURCE TIMES COUNT FROM its timecode 10:00:00:00
            001  TALLOWIC A     C        00:00:01:00 00:00:02:12 01:00:01:00 01:00:02:12
            * FROM CLIP NAME:  TALLOWICK_001
            * SOURCE FILE: RECORDER/TALLOWICK_001.WAV
            * COMMENT: CHANNEL 1, lavalier
            * COMMENT: REASON: lavalier: both clean
            002  A001C001 A2    C        10:00:01:12 10:00:04:00 01:00:02:12 01:00:05:00
            * FROM CLIP NAME:  A001C001
            * SOURCE FILE: CAM_A/A001C001.MP4
            * COMMENT: CHANNEL 2, shotgun
            * COMMENT: REASON: shotgun: lavalier has rustle

            """.ReplaceLineEndings("\r\n"),
            lists[1].Text);
    }

    [Fact]
    public void TheDialogueList_NamesAnswersAndQuestionsInItsHead()
    {
        string[] lists = [.. EdlWriter.Lists(TimelineBuilder.Build(ReportExamples.Interview())).Select(list => list.Text)];

        Assert.Matches("\r\n\\* COMMENT: ANSWER 1, POSSIBLE RESTART FROM 01:00:12:1[2-4] TO 01:00:1(3:24|4:0[01])\r\n", lists[^1]);
        Assert.All(lists[..^1], list => Assert.DoesNotContain("ANSWER", list, StringComparison.Ordinal));
    }

    private static EdlReader[] Read(TimelineModel timeline) =>
        [.. EdlWriter.Lists(timeline).Select(list => EdlReader.Read(list.Text, timeline.Numbering.FramesPerSecond))];

    private static long Frames(MediaTime time, Rate rate) => time.ToNearestUnit(rate);
}
