using System.Globalization;
using System.Text;
using CsvHelper;
using SyncBench.Reporting;
using SyncBench.Selection;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Reporting;

public class CsvTests
{
    [Fact]
    public void TheTables_HaveTheColumnsOfTheContract()
    {
        Assert.Equal(
            "file,device,role,take,outcome,start_s,rate_ppm,duration_s,certainty,reason,timecode,timecode_by_sound\r\n",
            Written.Text(ReportExamples.Empty, ClipsCsv.Write));
        Assert.Equal(
            "take,start_s,end_s,duration_s,clips,dialogue_file,integrated_lufs,range_lu,true_peak_dbtp,gain_to_target_db\r\n",
            Written.Text(ReportExamples.Empty, TakesCsv.Write));
        Assert.Equal(
            "take,start_s,end_s,mic_file,channel,reason\r\n", Written.Text(ReportExamples.Empty, SegmentsCsv.Write));
    }

    [Fact]
    public void EveryColumn_IsDocumentedInItsOrder()
    {
        string documented = File.ReadAllText(Repository.File("docs/programs.md"));
        foreach ((string file, Action<Stream, DumpResult> write) in new (string, Action<Stream, DumpResult>)[]
        {
            ("clips.csv", ClipsCsv.Write), ("takes.csv", TakesCsv.Write), ("segments.csv", SegmentsCsv.Write), ("answers.csv", AnswersCsv.Write),
        })
        {
            string section = documented.Split($"### {file}\n")[1].Split("\n### ")[0];
            Assert.Equal(
                Written.Text(ReportExamples.Empty, write).TrimEnd('\r', '\n').Split(','),
                section.Split('\n').Where(line => line.StartsWith("| `", StringComparison.Ordinal)).Select(line => line.Split('`')[1]));
        }
    }

    [Fact]
    public void AText_ComesBackAsItWas_ExceptThatAFormulaIsQuotedOff()
    {
        List<Dictionary<string, string>> rows = Rows(Written.Text(ReportExamples.Hostile(), ClipsCsv.Write));

        Assert.Equal(
            ReportExamples.HostileNames.Select(name => "=+-@\t\r\n".Contains(name[0], StringComparison.Ordinal) ? "'" + name : name),
            rows.Select(row => row["file"]));
    }

    [Fact]
    public void ANegativeNumber_StaysANumber()
    {
        List<Dictionary<string, string>> rows = Rows(Written.Text(ReportExamples.Interview(), ClipsCsv.Write));

        Assert.Equal("-7.8100", rows.Single(row => row["file"] == "CAM_B/B001.mp4")["rate_ppm"]);
    }

    [Fact]
    public void APlacedClip_StartsWhereItsFirstSampleLiesOnTheCommonClock()
    {
        Dictionary<string, string> row = Rows(Written.Text(ReportExamples.Interview(), ClipsCsv.Write))
            .Single(row => row["file"] == "CAM_A/A001.mp4");

        Assert.Equal(
            ["CAM_A", "wide", "take 1", "placed", "6.482917", "11.4200", "236.400000", "0.9999992", "sound matches RECORDER", "", ""],
            row.Values.Skip(1));
    }

    [Fact]
    public void ATake_SaysHowLoudItsDialogueFileIs()
    {
        List<Dictionary<string, string>> rows = Rows(Written.Text(ReportExamples.Interview(), TakesCsv.Write));

        Assert.Equal(["dialogue/take-1.wav", "-24.25", "8.10", "-1.10", "1.25"], rows[0].Values.TakeLast(5));
        Assert.Equal(["", "", "", "", ""], rows[1].Values.TakeLast(5)); // not measured
    }

    [Fact]
    public void AClipThatIsNotPlaced_HasNoStart()
    {
        Dictionary<string, string>[] rows =
            [.. Rows(Written.Text(ReportExamples.Interview(), ClipsCsv.Write)).Where(row => row["outcome"] != "placed")];

        Assert.Equal(["check by ear", "set aside", "unreadable"], rows.Select(row => row["outcome"]));
        Assert.All(rows, row => Assert.Equal(string.Empty, row["start_s"]));
    }

    [Fact]
    public void ARecorderThatRunsThrough_LiesInEveryTake() => Assert.Equal(
        "take 1; take 2",
        Rows(Written.Text(ReportExamples.Interview(), ClipsCsv.Write)).Single(row => row["device"] == "RECORDER")["take"]);

    [Fact]
    public void TakesAndSegments_SayWhatTheResultHolds()
    {
        DumpResult result = ReportExamples.Interview();
        List<Dictionary<string, string>> takes = Rows(Written.Text(result, TakesCsv.Write));
        List<Dictionary<string, string>> segments = Rows(Written.Text(result, SegmentsCsv.Write));

        Assert.Equal(["take 2", "255.003125", "422.950000", "167.946875", "3"], takes[1].Values.Take(5));
        Assert.Equal(
            ["take 1", "78.200000", "99.600000", "CAM_A/A001.mp4", "2", "shotgun: lavalier has rustle 01:12 to 01:32"],
            segments[1].Values);
        Assert.Equal(result.Takes.Sum(take => take.Segments.Length), segments.Count);
    }

    [Fact]
    public void Answers_HaveTheirTimesAndWhetherTheyMayBeRestarts() => Assert.Equal(
        "take,kind,start_s,end_s,duration_s,first_words_s,possible_restart\r\n"
        + "take 1,question,8.000000,11.500000,3.500000,8.000000,no\r\n"
        + "take 1,answer,12.500000,14.000000,1.500000,12.500000,yes\r\n"
        + "take 1,answer,15.500000,121.000000,105.500000,17.250000,no\r\n",
        Written.Text(ReportExamples.Interview(), AnswersCsv.Write));

    /// <summary>RFC 4180, section 2: CR LF after every record, and a field with a line break or a quote in quotes.</summary>
    [Fact]
    public void TheBytes_AreUtf8WithoutAMark_AndEveryRecordEndsWithCrLf()
    {
        byte[] bytes = Written.Bytes(ReportExamples.Hostile(), ClipsCsv.Write);
        string text = new UTF8Encoding(false, throwOnInvalidBytes: true).GetString(bytes);

        Assert.StartsWith("file,", text, StringComparison.Ordinal);
        Assert.EndsWith("\r\n", text, StringComparison.Ordinal);
        Assert.Contains("\r\n\"two\r\nlines.wav\",", text, StringComparison.Ordinal);
        Assert.Contains("\r\n\"\"\"quoted\"\", and 'single'.mov\",", text, StringComparison.Ordinal);
    }

    /// <summary>Source of the reader: Python's own csv module, which has no part in writing the file.</summary>
    [Fact]
    public async Task AnotherReader_FindsTheSameCells()
    {
        using var folder = new TemporaryFolder();
        string file = Path.Combine(folder.Path, "clips.csv"), cells = Path.Combine(folder.Path, "cells.txt");
        await File.WriteAllBytesAsync(file, Written.Bytes(ReportExamples.Hostile(), ClipsCsv.Write));

        await Tool.RunAsync(
            "python3", "-c",
            "import csv, sys; open(sys.argv[2], 'w', encoding='utf-8', newline='').write('\\0'.join(c for row in csv.reader(open(sys.argv[1], encoding='utf-8', newline=''), strict=True) for c in row))",
            file, cells);

        Assert.Equal(
            Rows(Written.Text(ReportExamples.Hostile(), ClipsCsv.Write)).SelectMany(row => row.Values),
            (await File.ReadAllTextAsync(cells)).Split('\0').Skip(12));
    }

    internal static List<Dictionary<string, string>> Rows(string csv)
    {
        using var reader = CsvReader.FromText(csv, new CsvReaderOptions { FormatProvider = CultureInfo.InvariantCulture, Separator = ',' });
        var rows = new List<Dictionary<string, string>>();
        while (reader.Read())
        {
            rows.Add(reader.Headers.Select((name, i) => (name, Cell: reader.GetString(i))).ToDictionary(cell => cell.name, cell => cell.Cell));
        }

        return rows;
    }
}
