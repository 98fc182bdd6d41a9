using System.Globalization;

namespace SyncBench.Tests.Timeline;

/// <param name="SourceIn">In frames since 00:00:00:00, by the counting that the separator tells.</param>
/// <param name="CountsDropFrame">Whether the source's labels do.</param>
internal sealed record EdlCut(
    int Number, string Reel, string Channel, bool CountsDropFrame, long SourceIn, long SourceOut, long RecordIn, long RecordOut)
{
    /// <summary>Frames of the dissolve by which it begins; 0 for a cut.</summary>
    public int Dissolve { get; init; }

    /// <summary>Where the source stands that it dissolves from.</summary>
    public EdlCut? From { get; init; }

    /// <summary>The comments that follow it, without their asterisk.</summary>
    public List<string> Comments { get; } = [];

    public string ClipName => Comments.Single(c => c.StartsWith(From is null ? "FROM CLIP NAME:  " : "TO CLIP NAME:  ", StringComparison.Ordinal)).Split(":  ", 2)[1];

    public string SourceFile => Comments.Single(c => c.StartsWith("SOURCE FILE: ", StringComparison.Ordinal))[13..];
}

/// <summary>A strict reader of edit decision lists: cuts and dissolves at fixed columns, comments, nothing else.</summary>
/// <remarks>
/// Source: the EDL adapter of the OpenTimelineIO project (cmx_3600.py, Apache-2.0) and its sample lists for columns, event
/// numbers, "a cut has eight fields" and a dissolve nine, its two lines (sample dissolve_test.edl), "source and record are as
/// long", channels A to A4 (its channel_map); SMPTE ST 258 itself was not open to us. That
/// lines are ASCII and end with CR LF is common practice. The counting of labels is ours and not that of the writer.
/// </remarks>
internal sealed class EdlReader
{
    private EdlReader(string text, int framesPerSecond)
    {
        Assert.All(text, c => Assert.True(c is '\r' or '\n' or (>= ' ' and <= '~'), $"character {(int)c}"));
        Assert.EndsWith("\r\n", text, StringComparison.Ordinal);
        string[] lines = text[..^2].Split("\r\n");
        Assert.DoesNotContain(lines, line => line.Contains('\n') || line.Contains('\r'));
        Assert.StartsWith("TITLE: ", lines[0], StringComparison.Ordinal);
        Title = lines[0][7..];
        Assert.InRange(Title.Length, 1, 70);
        Assert.Contains(lines[1], new[] { "FCM: DROP FRAME", "FCM: NON-DROP FRAME" });
        IsDropFrame = lines[1] == "FCM: DROP FRAME";
        _framesPerSecond = framesPerSecond;
        EdlCut? from = null;
        foreach (string line in lines.Skip(2))
        {
            if (line.StartsWith("* ", StringComparison.Ordinal))
            {
                (Cuts.Count == 0 ? Header : Cuts[^1].Comments).Add(line[2..]);
            }
            else if (Cut(line, framesPerSecond) is var cut && cut.SourceIn == cut.SourceOut)
            {
                Assert.Null(from);
                from = cut;
            }
            else
            {
                Assert.Equal(from is not null, cut.Dissolve > 0);
                Assert.Equal(from?.Number ?? cut.Number, cut.Number);
                Assert.Equal(from?.RecordIn ?? cut.RecordIn, cut.RecordIn);
                Assert.Equal(from?.Channel ?? cut.Channel, cut.Channel);
                Assert.True(cut.Dissolve <= cut.SourceOut - cut.SourceIn, line);
                Cuts.Add(cut with { From = from });
                from = null;
                Assert.Equal(Cuts.Count, cut.Number);
            }
        }

        Assert.Null(from);
    }

    private readonly int _framesPerSecond;

    public string Title { get; }

    public bool IsDropFrame { get; }

    /// <summary>Comments before the first cut.</summary>
    public List<string> Header { get; } = [];

    public List<EdlCut> Cuts { get; } = [];

    public static EdlReader Read(string text, int framesPerSecond) => new(text, framesPerSecond);

    /// <summary>Writes what was read, from counts of frames, by this class's own arithmetic.</summary>
    public string Write()
    {
        IEnumerable<string> head = Header.Select(comment => "* " + comment).Prepend($"FCM: {(IsDropFrame ? string.Empty : "NON-")}DROP FRAME").Prepend("TITLE: " + Title);
        IEnumerable<string> cuts = Cuts.SelectMany(cut => new[] { cut.From, cut }.OfType<EdlCut>().Select(Line).Concat(cut.Comments.Select(comment => "* " + comment)));
        return string.Concat(head.Concat(cuts).Select(line => line + "\r\n"));
    }

    private string Line(EdlCut cut)
    {
        string transition = cut.Dissolve > 0 ? $"D    {cut.Dissolve:000}" : "C       ";
        return string.Create(CultureInfo.InvariantCulture, $"{cut.Number:000}  {cut.Reel,-8} {cut.Channel,-5} {transition} ")
            + $"{Label(cut.SourceIn, cut.CountsDropFrame)} {Label(cut.SourceOut, cut.CountsDropFrame)} {Label(cut.RecordIn, IsDropFrame)} {Label(cut.RecordOut, IsDropFrame)}";
    }

    private string Label(long frames, bool dropFrame)
    {
        long leftOut = dropFrame ? _framesPerSecond / 15 : 0;
        long Zero(long minute) => (minute * 60 * _framesPerSecond) - (leftOut * (minute - (minute / 10)));
        frames %= Zero(24 * 60);
        long minutes = frames / ((60 * _framesPerSecond) - leftOut);
        while (Zero(minutes) + (minutes % 10 == 0 ? 0 : leftOut) > frames)
        {
            minutes--;
        }

        long rest = frames - Zero(minutes);
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{minutes / 60:00}:{minutes % 60:00}:{rest / _framesPerSecond:00}{(dropFrame ? ';' : ':')}{rest % _framesPerSecond:00}");
    }

    /// <summary>Undoes the escapes of names.</summary>
    public static string Name(string plain)
    {
        string[] parts = plain.Split("\\u");
        return parts[0] + string.Concat(parts.Skip(1).Select(part =>
            (char)int.Parse(part.AsSpan(0, 4), NumberStyles.HexNumber, CultureInfo.InvariantCulture) + part[4..]));
    }

    private static EdlCut Cut(string line, int framesPerSecond)
    {
        // Check string of the layout, 76 characters:
        // 001  LAV_A001 A     C        01:00:00:00 01:00:10:00 01:00:00:00 01:00:10:00
        Assert.Equal(76, line.Length);
        bool dissolves = line[20] == 'D';
        Assert.Equal(dissolves ? 9 : 8, line.Split(' ', StringSplitOptions.RemoveEmptyEntries).Length);
        foreach (int blank in new[] { 4, 5, 14, 20, 25, 29, 41, 53, 65 })
        {
            Assert.Equal(' ', line[blank - 1]);
        }

        Assert.Equal(dissolves ? "D   " : "C       ", line[20..(dissolves ? 24 : 28)]);
        string channel = line[14..19].TrimEnd();
        Assert.Contains(channel, new[] { "V", "A", "A2", "A3", "A4" });
        string reel = line[5..13].TrimEnd();
        Assert.NotEmpty(reel);
        Assert.All(reel, c => Assert.True(char.IsAsciiLetterUpper(c) || char.IsAsciiDigit(c), reel));
        long[] times = [.. new[] { 29, 41, 53, 65 }.Select(at => Frames(line[at..(at + 11)], framesPerSecond))];
        if (times[1] < times[0])
        {
            // The file runs over midnight, where labels begin anew.
            times[1] += Frames($"23:59:59{line[37]}{framesPerSecond - 1}", framesPerSecond) + 1;
        }

        var cut = new EdlCut(
            int.Parse(line[..3], NumberStyles.None, CultureInfo.InvariantCulture), reel, channel,
            line[37] == ';', times[0], times[1], times[2], times[3])
        {
            Dissolve = dissolves ? int.Parse(line[25..28], NumberStyles.None, CultureInfo.InvariantCulture) : 0,
        };
        Assert.True(cut.SourceOut > cut.SourceIn || (!dissolves && cut.SourceOut == cut.SourceIn), line);
        Assert.Equal(cut.SourceOut - cut.SourceIn, cut.RecordOut - cut.RecordIn);
        return cut;
    }

    /// <summary>ST 12-1: of every minute but the tenth, drop-frame leaves out two labels at 30 and four at 60.</summary>
    private static long Frames(string label, int framesPerSecond)
    {
        int[] parts = [.. label.Split(':', ';').Select(part => int.Parse(part, NumberStyles.None, CultureInfo.InvariantCulture))];
        Assert.True(parts is [< 24, < 60, < 60, _] && parts[3] < framesPerSecond, label);
        long seconds = (((parts[0] * 60) + parts[1]) * 60) + parts[2];
        long frames = (seconds * framesPerSecond) + parts[3];
        if (label[8] == ';')
        {
            int leftOut = framesPerSecond / 15;
            Assert.False(parts[2] == 0 && parts[1] % 10 != 0 && parts[3] < leftOut, label);
            for (int minute = 1; minute <= seconds / 60; minute++)
            {
                frames -= minute % 10 == 0 ? 0 : leftOut;
            }
        }

        return frames;
    }
}
