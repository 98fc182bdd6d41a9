using System.Globalization;
using System.Text.RegularExpressions;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Time;
using SyncBench.Timeline;

namespace SyncBench.Tests.Standards;

/// <summary>
/// Marker lists against WebVTT: The Web Video Text Tracks Format (W3C; read from memory), and as ffmpeg understands them,
/// which knows nothing of us.
/// </summary>
public sealed partial class WebVttOfTheW3cTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task AnswersQuestionsAndFaults_AreCues_ThatFfmpegReads()
    {
        DumpResult result = ReportExamples.Interview();
        TimelineModel timeline = TimelineBuilder.Build(result);

        (string From, string To, string Text)[] cues = await CuesAsync(timeline, new TimeRange(MediaTime.Zero, timeline.Duration));

        TimelineMarker[] markers =
        [
            .. timeline.Markers.Where(m => m.Kind == MarkerKind.Fault).Concat(timeline.Tracks.SelectMany(t => t.Markers))
                .OrderBy(m => m.RecordRange.Start),
        ];
        Assert.Equal(markers.Length, cues.Length);
        Assert.Contains(cues, cue => cue.Text.StartsWith("answer 2 (take 1)", StringComparison.Ordinal));
        foreach ((TimelineMarker marker, (string from, string to, _)) in markers.Zip(cues))
        {
            Assert.Equal(marker.RecordRange.Start.ToSeconds(), Seconds(from), 0.0006);
            Assert.Equal(marker.RecordRange.End.ToSeconds(), Seconds(to), 0.0006);
        }
    }

    [Fact]
    public async Task BesideAFileOfItsOwn_TimesCountFromItsStart_AndWhatLiesOutsideIsLeftOut()
    {
        TimelineModel timeline = TimelineBuilder.Build(ReportExamples.Interview());
        TimelineMarker answer = timeline.Tracks.SelectMany(t => t.Markers).Single(m => m.Name == "answer 2");
        MediaTime second = MediaTime.FromSeconds(1);

        (string From, string To, string Text)[] cues = await CuesAsync(timeline, new TimeRange(answer.RecordRange.Start - second, second + second));

        (string from, string to, _) = Assert.Single(cues, cue => cue.Text.StartsWith("answer 2", StringComparison.Ordinal));
        Assert.Equal(("00:00:01.000", "00:00:02.000"), (from, to));
        Assert.All(cues, cue => Assert.InRange(Seconds(cue.To), 0, 2));
    }

    /// <summary>A blank line ends a cue, an arrow is a time, "&lt;" begins a tag.</summary>
    [Fact]
    public async Task AName_CannotForgeACue()
    {
        var at = new TimeRange(MediaTime.Zero, MediaTime.FromSeconds(2));
        const string Name = "x\r\n\r\n00:00:00.000 --> 00:00:09.000\n<b>&amp;";
        TimelineModel timeline = TimelineBuilder.Build(CutExamples.Short()) with
        {
            Markers = [new TimelineMarker(at, Name, Name, MarkerKind.Fault)],
        };

        (_, string to, string text) = Assert.Single(await CuesAsync(timeline, at));

        Assert.Equal("00:00:02.000", to);
        Assert.StartsWith("x    00:00:00.000 --&gt; 00:00:09.000 &lt;b&gt;&amp;amp;", text, StringComparison.Ordinal);
    }

    /// <summary>Header, then blocks divided by blank lines; a block that is no note is a line of times and text.</summary>
    private async Task<(string From, string To, string Text)[]> CuesAsync(TimelineModel timeline, TimeRange range)
    {
        using var written = new StringWriter(CultureInfo.InvariantCulture);
        MarkerList.Write(written, timeline, range, "the first frame");
        await File.WriteAllTextAsync(_folder.File("m.vtt"), written.ToString());
        string[] blocks = written.ToString().TrimEnd('\n').Split("\n\n");
        Assert.StartsWith("WEBVTT - ", blocks[0], StringComparison.Ordinal);
        Assert.StartsWith("NOTE\n", blocks[1], StringComparison.Ordinal);
        var cues = new List<(string, string, string)>();
        foreach (string block in blocks[2..])
        {
            string[] lines = block.Split('\n');
            Assert.Equal(2, lines.Length);
            Match times = Times().Match(lines[0]);
            Assert.True(times.Success, lines[0]);
            Assert.DoesNotContain("-->", lines[1], StringComparison.Ordinal);
            Assert.DoesNotContain('<', lines[1]);
            Assert.True(string.CompareOrdinal(times.Groups[1].Value, times.Groups[2].Value) < 0, lines[0]);
            cues.Add((times.Groups[1].Value, times.Groups[2].Value, lines[1]));
        }

        Assert.Equal(cues.Select(cue => cue.Item1).Order(StringComparer.Ordinal), cues.Select(cue => cue.Item1));
        string srt = await Tool.OutputAsync("ffmpeg", "-v", "error", "-i", _folder.File("m.vtt"), "-f", "srt", "-");
        Assert.Equal(
            cues.Select(cue => $"{cue.Item1} --> {cue.Item2}".Replace('.', ',')),
            srt.Split('\n').Select(line => line.TrimEnd('\r')).Where(line => SrtTimes().IsMatch(line)));
        return [.. cues];
    }

    private static double Seconds(string label) => TimeSpan.Parse(label, CultureInfo.InvariantCulture).TotalSeconds;

    [GeneratedRegex(@"^(\d{2,}:[0-5]\d:[0-5]\d\.\d{3}) --> (\d{2,}:[0-5]\d:[0-5]\d\.\d{3})$")]
    private static partial Regex Times();

    [GeneratedRegex(@"^\d{2}:\d{2}:\d{2},\d{3} --> \d{2}:\d{2}:\d{2},\d{3}$")]
    private static partial Regex SrtTimes();
}
