using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Media.Ltc;
using SyncBench.Time;

namespace SyncBench.Tests.Alignment;

public class StartClockTests
{
    private static readonly MediaInfo Movie = new(
        new MediaFile("CAM_A/1.MOV", "/nowhere", 1), "mov", MediaTime.Zero, new MediaTime(),
        [new VideoStream(0, "h264", Rate.Fps25, 64, 64, MediaTime.Zero, MediaTime.FromSeconds(10))],
        [new AudioStream(1, "aac", 48_000, 2, MediaTime.Zero, MediaTime.FromSeconds(10))], null, null, null);

    private static readonly MediaInfo Wave = Movie with { Video = [] };

    [Theory]
    [InlineData("10:20:30:12", 25, 1, 37_230.48)]
    [InlineData("01:00:00:00", 24_000, 1_001, 3_603.6)]
    [InlineData("01:00:00;00", 30_000, 1_001, 3_599.9964)]
    public void ALabel_IsRealTimeSinceMidnight(string label, int numerator, int denominator, double seconds)
    {
        var rate = new Rate(numerator, denominator);
        MediaInfo media = Movie with { StartTimecode = label, Video = [Movie.Video[0] with { FrameRate = rate }] };

        StartClock clock = StartClock.Of(media, [])!;

        Assert.Equal((TimecodeSource.Track, rate, label[8] == ';'), (clock.Source, clock.FrameRate, clock.DropFrame));
        Assert.Equal(seconds, clock.SinceMidnight.ToSeconds(), 1e-9);
    }

    /// <summary>The label is the first frame's; where sound starts before the picture, clip time zero is earlier.</summary>
    [Fact]
    public void ALabel_IsTheFirstFrames()
    {
        MediaInfo media = Movie with
        {
            StartTimecode = "10:00:00:00", Video = [Movie.Video[0] with { Start = MediaTime.FromSeconds(0.5) }],
        };

        Assert.Equal(35_999.5, StartClock.Of(media, [])!.SinceMidnight.ToSeconds(), 1e-9);
    }

    [Theory]
    [InlineData("25:00:00:00")]
    [InlineData("10:00:00:30")]
    [InlineData("noon")]
    public void ALabelThatIsNone_IsNoClock(string label) =>
        Assert.Null(StartClock.Of(Movie with { StartTimecode = label }, []));

    [Fact]
    public void TheTimeReference_CountsBeforeTheStampOfTheNotes()
    {
        var speed = new RecorderSpeed(null, null, Rate.Ntsc30, true, 48_000, 48_000, 48_000);
        MediaInfo notes = Wave with { Notes = new RecorderNotes(null, null, null, null, null, speed, []) };

        StartClock stamp = StartClock.Of(notes, [])!, both = StartClock.Of(notes with { TimeReference = 96_000 }, [])!;

        Assert.Equal((TimecodeSource.Notes, 1.0), (stamp.Source, stamp.SinceMidnight.ToSeconds()));
        Assert.Equal((TimecodeSource.BroadcastWave, 2.0), (both.Source, both.SinceMidnight.ToSeconds()));
        Assert.Equal((Rate.Ntsc30, true), (both.FrameRate, both.DropFrame));
    }

    [Fact]
    public void HeardTimecode_CountsBeforeTheTrack_FromClipTimeZero()
    {
        LtcWord first = Word(frames: 5, at: 24_000), last = Word(frames: 9, at: 24_000 + (4 * 1920));
        var ltc = new LtcTrack(1, 48_000, [new LtcRun(first, last, 5, Rate.Fps25)], 0.9);

        StartClock clock = StartClock.Of(Movie with { StartTimecode = "10:00:00:00" }, [ltc])!;

        Assert.Equal("LTC on channel 2", clock.InWords());
        Assert.Equal((5 / 25.0) - 0.5, clock.SinceMidnight.ToSeconds(), 1e-9);
    }

    [Fact]
    public void BetweenTwoClocks_MidnightIsNoGap()
    {
        StartClock before = Clock(86_399), after = Clock(1);

        Assert.Equal(2, ClockDifference.Readings(after, before).Single().ToSeconds(), 1e-9);
        Assert.Equal(-2, ClockDifference.Readings(before, after).Single().ToSeconds(), 1e-9);
    }

    /// <summary>At 29.97 without drop-frame a day of labels lasts 86486.4 s: 2592000 frames of 1001/30000 s.</summary>
    [Fact]
    public void WhereBothCountAlike_ADayIsAsLongAsItsLabels()
    {
        StartClock before = Clock(86_486.4 - 1) with { FrameRate = Rate.Ntsc30 }, after = Clock(1) with { FrameRate = Rate.Ntsc30 };

        Assert.Equal(2, ClockDifference.Readings(after, before).Single().ToSeconds(), 1e-9);
    }

    /// <summary>
    /// 01:00:00:00 without drop-frame at 29.97 is 3603.6 s of samples; a recorder that counts 30 a second writes 3600 s.
    /// </summary>
    [Fact]
    public void AStampCountedAtAWholeRate_IsTheSecondReading()
    {
        StartClock camera = Clock(3603.6) with { FrameRate = Rate.Ntsc30 };
        var recorder = new StartClock(TimecodeSource.BroadcastWave, null, MediaTime.FromSeconds(3600), null, false);

        Assert.Equal([3.6, 0], ClockDifference.Readings(camera, recorder).Select(reading => Math.Round(reading.ToSeconds(), 9)));
    }

    private static StartClock Clock(double seconds) =>
        new(TimecodeSource.Track, null, MediaTime.FromSeconds(seconds), Rate.Fps25, false);

    private static LtcWord Word(int frames, double at) => new((ulong)frames, at, at + 1920, false);
}
