using System.Globalization;
using System.Text;
using SyncBench.Reporting;
using SyncBench.Selection;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Standards;

/// <summary>
/// RFC 4180, Common Format and MIME Type for Comma-Separated Values Files, by a reader of its grammar that shares nothing
/// with the library that writes. That a cell must not begin a formula is common practice, not part of the RFC.
/// </summary>
public class CsvOfRfc4180Tests
{
    private static readonly Dictionary<string, Action<Stream, DumpResult>> Writers = new()
    {
        ["clips.csv"] = ClipsCsv.Write,
        ["takes.csv"] = TakesCsv.Write,
        ["segments.csv"] = SegmentsCsv.Write,
        ["answers.csv"] = AnswersCsv.Write,
    };

    public static TheoryData<string> Tables => [.. Writers.Keys];

    [Theory]
    [MemberData(nameof(Tables))]
    public void ATable_FollowsTheGrammar_WithOneHeaderLine(string table)
    {
        IReadOnlyList<string[]> records = Rfc4180Reader.Read(Text(table));

        Assert.True(records.Count > 1);
        Assert.All(records[0], column => Assert.Matches("^[a-z_]+$", column));
    }

    [Theory]
    [MemberData(nameof(Tables))]
    public void ATable_IsUtf8WithoutByteOrderMark(string table)
    {
        byte[] bytes = Bytes(table);

        Assert.NotEqual(0xEF, bytes[0]);
        Assert.NotEmpty(new UTF8Encoding(false, throwOnInvalidBytes: true).GetString(bytes));
    }

    [Theory]
    [MemberData(nameof(Tables))]
    public void NoCell_RunsInASpreadsheet_AndNegativeNumbersStayNumbers(string table) =>
        Assert.All(Rfc4180Reader.Read(Text(table)).SelectMany(record => record), cell => Assert.True(
            cell.Length == 0 || !"=+-@\t\r\n".Contains(cell[0])
            || decimal.TryParse(cell, NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out _),
            $"'{cell}'"));

    [Fact]
    public void FileNames_ComeBackAsTheyWere_SaveTheGuardAgainstFormulas()
    {
        string[][] rows = [.. Rfc4180Reader.Read(Text("clips.csv")).Skip(1)];

        string[] expected = [.. HostileDump.Make().Files.Select(file => Guarded(file.File.Path))];
        Assert.Equal(expected, rows.Select(row => row[0]));
    }

    [Fact]
    public void NegativeFigures_AreWrittenPlain()
    {
        string[] early = Rfc4180Reader.Read(Text("clips.csv")).Single(row => row[0] == "EARLY.WAV");

        Assert.Contains("-12.500000", early);
        Assert.Contains("-48.2500", early);
    }

    [Theory]
    [InlineData("de-DE")]
    [InlineData("ar-SA")]
    [InlineData("sv-SE")]
    public void TheCulture_ChangesNoByte(string culture)
    {
        byte[][] here = [.. Writers.Keys.Select(Bytes)];
        CultureInfo before = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = new CultureInfo(culture);
            Assert.Equal(here, Writers.Keys.Select(Bytes));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    private static string Guarded(string name) => "=+-@\t\r\n".Contains(name[0]) ? "'" + name : name;

    private static string Text(string table) => Encoding.UTF8.GetString(Bytes(table));

    private static byte[] Bytes(string table)
    {
        using var stream = new MemoryStream();
        Writers[table](stream, HostileDump.Make());
        return stream.ToArray();
    }
}
