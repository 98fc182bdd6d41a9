using System.Globalization;
using System.Text.RegularExpressions;
using SyncBench.Tests.Support;
using SyncBench.Time;
using SyncBench.Timeline;

namespace SyncBench.Tests.Timeline;

/// <summary>
/// The CMX 3600 layout by column: event 1-3, reel 6-13, channel 15-19, transition 21-24, four times from column 30. Source:
/// the EDL adapter of the OpenTimelineIO project and its sample lists; SMPTE ST 258 itself was not open to us.
/// </summary>
public partial class EdlWriterTests
{
    [Fact]
    public void ThereIsAListForEachAngleAndOneForDialogue() =>
        Assert.Equal(["WIDE.edl", "CLOSE.edl", "DIALOGUE.edl"], Lists().Select(list => list.FileName));

    [Fact]
    public void EveryEvent_KeepsTheColumns()
    {
        string[] events = [.. Lists().SelectMany(Events)];

        Assert.NotEmpty(events);
        Assert.All(events, line =>
        {
            Assert.Equal(76, line.Length);
            Assert.Matches(EventLine(), line);
        });
    }

    [Fact]
    public void SourceAndRecord_AreAsLong_AndEventsFollowEachOther()
    {
        foreach (EdlList list in Lists())
        {
            long free = 0;
            int number = 1;
            foreach (string line in Events(list))
            {
                long[] times = [.. line[29..].Split(' ').Select(Frames)];
                Assert.Equal(number++, int.Parse(line[..3], CultureInfo.InvariantCulture));
                Assert.Equal(times[1] - times[0], times[3] - times[2]);
                Assert.True(times[2] >= free);
                free = times[3];
            }
        }
    }

    [Fact]
    public void RecordTimes_CountFromOneHour()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());
        EdlList wide = EdlWriter.Lists(timeline).First();

        long start = timeline.Tracks[0].Items[0].RecordRange.Start.ToNearestUnit(Rate.Fps25);
        Assert.Equal(90_000 + start, Frames(Events(wide).First()[53..64]));
    }

    [Fact]
    public void SourceTimes_AreTheFilesOwn()
    {
        EdlList wide = EdlWriter.Lists(TimelineBuilder.Build(CutExamples.Hour(timecode: "10:00:00:00"))).First();

        Assert.Equal("10:00:00:00", Events(wide).First()[29..40]);
        Assert.Contains("REEL A001C001 IS CAM_A/A001C001.MP4, SOURCE TIMES OF THE FILE", wide.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void DropFrame_IsSaidAndWritten()
    {
        EdlList wide = EdlWriter.Lists(TimelineBuilder.Build(CutExamples.Hour(Rate.Ntsc30, "10:00:00;00"))).First();

        Assert.Contains("FCM: DROP FRAME\r\n", wide.Text, StringComparison.Ordinal);
        Assert.Contains("10:00:00;00", wide.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void AFileName_CannotForgeALine()
    {
        EdlList wide = EdlWriter.Lists(TimelineBuilder.Build(
            CutExamples.Hour(wideFile: "CAM_A/x\r\n002  EVIL     V     C        .MP4"))).First();

        Assert.Equal(
            wide.Text.Split("\r\n").Count(line => EventLine().IsMatch(line)),
            wide.Text.Split("\r\n").Count(line => line.StartsWith("* SOURCE FILE", StringComparison.Ordinal)));
        Assert.DoesNotContain("\n002  EVIL", wide.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Beyond999Events_ASecondListBegins()
    {
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Hour());
        TimelineItem item = timeline.Tracks[0].Items[0];
        TimelineTrack long1 = timeline.Tracks[0] with
        {
            Items =
            [
                .. Enumerable.Range(0, 1200).Select(i => item with
                {
                    RecordRange = new TimeRange(MediaTime.FromUnits(i, Rate.Fps25), Rate.Fps25.Unit),
                }),
            ],
        };

        EdlList[] lists = [.. EdlWriter.Lists(timeline with { Tracks = [long1] })];

        Assert.Equal(["WIDE.edl", "WIDE-2.edl"], lists.Select(list => list.FileName));
        Assert.Equal([999, 201], lists.Select(list => Events(list).Count()));
    }

    private static EdlList[] Lists() => [.. EdlWriter.Lists(TimelineBuilder.Build(CutExamples.Hour()))];

    private static IEnumerable<string> Events(EdlList list) =>
        list.Text.Split("\r\n").Where(line => line.Length > 0 && char.IsAsciiDigit(line[0]));

    private static long Frames(string label)
    {
        Assert.True(new TimecodeFormat(25, false).TryParse(label, out long frames), label);
        return frames;
    }

    [GeneratedRegex(@"^\d{3}  [A-Z0-9 ]{8} (V|A)     C        (\d\d:\d\d:\d\d[:;]\d\d ?){4}$")]
    private static partial Regex EventLine();
}
