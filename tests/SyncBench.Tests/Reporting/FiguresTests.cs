using System.Globalization;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Timeline;

namespace SyncBench.Tests.Reporting;

/// <summary>
/// Whatever figure the page prints, a program finds in sync.json: as a value that rounds to what is printed, or as the
/// difference, sum, product or count of values that is named here. What the writers share is not used: the document is read
/// as a program would read it.
/// </summary>
public partial class FiguresTests
{
    private const double Last = 1e-6;

    /// <summary>Of standards and of the page's own making, not of the dump.</summary>
    private static readonly string[] Constants =
        ["to −23 LUFS", "2.9 ms for each metre", "125 ms late", "45 ms early", "EBU R 128", "20 °C", "42 metres", "BT.1359-1", "1 ppm is 3.6 ms"];

    [Fact]
    public void EveryFigureOfThePage_IsInTheDocument()
    {
        DumpResult result = ReportExamples.Interview();
        JsonNode document = Document(result);
        XElement page = ReportPage.Of(result, TimelineBuilder.Build(result));

        (string Kind, string Printed)[] figures = [.. Texts(page, document).SelectMany(Printed).Distinct()];
        string[] missing = [.. figures.Where(figure => !Known(document, figure.Kind, figure.Printed))
            .Select(figure => $"{figure.Kind}: {figure.Printed}")];

        Assert.True(missing.Length == 0, string.Join('\n', missing));
        Assert.Equal(
            ["bytes", "clock", "count", "dB", "dBFS", "dBTP", "length", "LU", "LUFS", "ms", "percent", "ppm", "timecode"],
            figures.Select(figure => figure.Kind).Distinct().Order(StringComparer.OrdinalIgnoreCase));
    }

    /// <summary>If one printed figure were wrong, it would be noticed.</summary>
    [Theory]
    [InlineData("LUFS", "−24.4")]
    [InlineData("ppm", "+11.43")]
    [InlineData("clock", "9:59:59")]
    [InlineData("percent", "87.32 %")]
    [InlineData("timecode", "01:59:59:24")]
    [InlineData("ms", "41.2")]
    [InlineData("count", "17 clips")]
    public void AFigureThatIsNotInTheDocument_IsNoticed(string kind, string printed) =>
        Assert.False(Known(Document(ReportExamples.Interview()), kind, printed));

    /// <summary>Without the curves: of so many numbers one always fits.</summary>
    private static JsonNode Document(DumpResult result)
    {
        JsonNode document = JsonNode.Parse(Written.Json(result, TimelineBuilder.Build(result)))!;
        foreach (JsonNode? take in document["takes"]!.AsArray())
        {
            take!.AsObject().Remove("curves");
        }

        return document;
    }

    /// <summary>All text but scales of plots, less what stands in the document word for word.</summary>
    private static IEnumerable<string> Texts(XElement page, JsonNode document)
    {
        string[] words = [.. Leaves(document).Where(leaf => leaf.Node is JsonValue value && value.TryGetValue(out string? text) && text.Length > 4)
            .Select(leaf => leaf.Node!.GetValue<string>()).Concat(Constants).Distinct().OrderByDescending(text => text.Length)];
        foreach (XElement element in page.Descendants().Where(element => element.Name.LocalName is not ("style" or "script")))
        {
            string[] classes = ((string?)element.Attribute("class") ?? string.Empty).Split(' ');
            string text = string.Concat(element.Nodes().OfType<XText>().Select(node => node.Value)).Replace('\u00a0', ' ');
            if (classes.Contains("tick") || (classes.Contains("lane") && classes.Contains("small")) || text.Trim().Length == 0)
            {
                continue;
            }

            yield return words.Aggregate(text, (left, word) => left.Replace(word, " § ", StringComparison.Ordinal));
        }
    }

    private static IEnumerable<(string Kind, string Printed)> Printed(string text) =>
        Figure().Matches(text).SelectMany(match => match.Groups.Cast<Group>().Skip(1)
            .SelectMany(group => group.Captures.Select(capture => (group.Name, capture.Value))));

    private static bool Known(JsonNode document, string kind, string printed) => kind switch
    {
        "LUFS" => Rounds(printed, Named(document, "_lufs")),
        "dBTP" => Rounds(printed, Named(document, "true_peak_dbtp")),
        "dBFS" => Rounds(printed, [.. Named(document, "active_speech_db"), .. Named(document, "level_db")]),
        "LU" => Rounds(printed, Named(document, "range_lu")),
        "dB" => Rounds(printed, Named(document, "_db")),
        "ppm" => Rounds(printed, Named(document, "ppm")),
        "percent" => Percent(printed, Named(document, "certainty")),
        "bytes" => Bytes(printed, document["files"]!.AsArray().Sum(file => (double)file!["bytes"]!)),
        "clock" => Clock(printed, [.. Named(document, "_s"), .. InTheTake(document)]),
        "length" => Length(printed, [.. Named(document, "duration_s"), .. Spans(document), .. FaultsTogether(document)]),
        "ms" => Rounds(printed, [.. Named(document, "_s").Select(seconds => seconds * 1000), .. Drifts(document)]) || Limit(printed, document),
        "timecode" => Timecode(printed, document),
        "count" => Counts(document).Contains(printed),
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "not a kind of figure"),
    };

    private static bool Rounds(string printed, IEnumerable<double> values)
    {
        double shown = Number(printed);
        int decimals = printed.Contains('.', StringComparison.Ordinal) ? printed.Length - printed.IndexOf('.', StringComparison.Ordinal) - 1 : 0;
        double half = (0.5 * Math.Pow(10, -decimals)) + Last;
        // Where a sentence says which way, the figure stands without its sign.
        return values.Any(value => Math.Abs(value - shown) <= half || (char.IsAsciiDigit(printed[0]) && Math.Abs(Math.Abs(value) - shown) <= half));
    }

    /// <summary>Rounded down, for nothing uncertain may read as certain.</summary>
    private static bool Percent(string printed, IEnumerable<double> certainties) => printed.StartsWith("over", StringComparison.Ordinal)
        ? certainties.Any(certainty => certainty >= 0.9999)
        : certainties.Any(certainty => (certainty * 100) - Number(printed[..^1]) is >= -Last and < 0.01);

    private static bool Bytes(string printed, double bytes) =>
        Math.Abs((bytes / (printed[^2] == 'G' ? 1e9 : 1e6)) - Number(printed[..^2])) <= 0.05 + Last;

    private static bool Clock(string printed, IEnumerable<double> seconds)
    {
        double shown = printed.TrimStart('−').Split(':').Aggregate(0.0, (sum, part) => (sum * 60) + Number(part));
        double half = (printed.Contains('.', StringComparison.Ordinal) ? 0.0005 : 0.5) + Last;
        return seconds.Any(value => Math.Abs(Math.Abs(value) - shown) <= half);
    }

    private static bool Length(string printed, IEnumerable<double> seconds)
    {
        double[] parts = [.. Digits().Matches(printed).Select(match => Number(match.Value))];
        (double shown, double half) = (parts.Length, printed.Contains('h', StringComparison.Ordinal)) switch
        {
            (1, _) => (parts[0], 0.05),
            (_, true) => ((parts[0] * 3600) + (parts[1] * 60), 60),
            _ => ((parts[0] * 60) + parts[1], 0.5),
        };
        return seconds.Any(value => Math.Abs(value - shown) <= half + Last);
    }

    /// <summary>The height of a drift plot: all residuals that counted lie within, and it is the round number above the largest.</summary>
    private static bool Limit(string printed, JsonNode document) => Devices(document).Any(device =>
        device.Counted.Select(residual => Math.Abs(residual * 1000)).DefaultIfEmpty(0).Max() is var most
        && Number(printed) >= most && Number(printed) <= Math.Max(0.2, most * 1.25 * 2.5) + Last);

    private static bool Timecode(string printed, JsonNode document)
    {
        JsonNode timeline = document["timeline"]!;
        double rate = ((string)timeline["frame_rate"]!).Split('/').Select(Number).Aggregate((frames, seconds) => frames / seconds);
        long first = Frames((string)timeline["starts_at"]!, rate), shown = Frames(printed, rate);
        return new[] { "start_s", "end_s" }.SelectMany(name => Named(document, name))
            .Any(seconds => Math.Abs(first + ((seconds - (double)timeline["start_s"]!) * rate) - shown - 0.5) <= 0.5 + Last);
    }

    private static long Frames(string timecode, double rate)
    {
        long[] parts = [.. timecode.Split(':').Select(part => long.Parse(part, CultureInfo.InvariantCulture))];
        return (long)((((((parts[0] * 60) + parts[1]) * 60) + parts[2]) * rate) + parts[3]);
    }

    private static IEnumerable<double> Named(JsonNode document, string ending) => Leaves(document)
        .Where(leaf => leaf.Name.EndsWith(ending, StringComparison.Ordinal) && leaf.Node is JsonValue value && value.TryGetValue(out double _))
        .Select(leaf => (double)leaf.Node!);

    private static IEnumerable<double> InTheTake(JsonNode document) => document["takes"]!.AsArray().SelectMany(take =>
        Named(take!, "_s").Select(seconds => seconds - (double)take!["start_s"]!));

    private static IEnumerable<double> Spans(JsonNode document) => Objects(document)
        .Where(thing => thing.ContainsKey("start_s") && thing.ContainsKey("end_s"))
        .Select(thing => (double)thing["end_s"]! - (double)thing["start_s"]!);

    private static IEnumerable<double> FaultsTogether(JsonNode document) => document["takes"]!.AsArray().SelectMany(take =>
        take!["faults"]!.AsArray().GroupBy(fault => $"{fault!["kind"]} {fault["file"]} {fault["channel"]}").SelectMany(mic => new[]
        {
            mic.Sum(fault => (double)fault!["end_s"]! - (double)fault["start_s"]!),
        }).Concat(take["faults"]!.AsArray().GroupBy(fault => $"{fault!["kind"]} {Device(document, fault["file"]!)} {fault["channel"]}")
            .Select(mic => mic.Sum(fault => (double)fault!["end_s"]! - (double)fault["start_s"]!))));

    /// <summary>What a clock that runs so fast loses in an hour, and in each take.</summary>
    private static IEnumerable<double> Drifts(JsonNode document) => document["clocks"]!.AsArray().SelectMany(clock =>
        document["takes"]!.AsArray().Select(take => ((double)take!["end_s"]! - (double)take["start_s"]!) * 1000).Append(3_600_000)
            .Select(ms => (double)clock!["ppm"]! * 1e-6 * ms));

    private static HashSet<string> Counts(JsonNode document)
    {
        JsonArray files = document["files"]!.AsArray(), takes = document["takes"]!.AsArray();
        IEnumerable<(int Count, string One)> counts =
        [
            (files.Count, "file"), (takes.Count, "take"),
            .. files.CountBy(file => (string)file!["outcome"]!).Select(outcome => (outcome.Value, outcome.Key)),
            (files.Count(file => (string)file!["outcome"]! == "unreadable" || file["damage"] is not null), "file"),
            (files.Count(file => (string)file!["outcome"]! is "placed" or "check by ear"), "clip"),
            (files.Count(file => (string)file!["outcome"]! == "set aside" && file["clip"]?["video"]!.AsArray().Count > 0), "clip"),
            .. takes.SelectMany(take => new[]
            {
                (take!["files"]!.AsArray().Count, "clip"), (take["segments"]!.AsArray().Count, "segment"), (take["faults"]!.AsArray().Count, "fault"),
            }),
            .. Devices(document).SelectMany(device => new[] { (device.Counted.Length, "window"), (device.All, "window") }),
        ];
        return [.. counts.SelectMany(count => new[] { $"{count.Count} {count.One}", $"{count.Count} {count.One}s" })];
    }

    /// <summary>Votes of each device in each take: residuals in seconds of those that counted, and how many there are.</summary>
    private static IEnumerable<(double[] Counted, int All)> Devices(JsonNode document) => document["takes"]!.AsArray().SelectMany(take =>
        document["files"]!.AsArray().Where(file => take!["files"]!.AsArray().Any(name => (string)name! == (string)file!["path"]!))
            .GroupBy(file => (string)file!["clip"]!["device"]!).Select(device =>
            {
                JsonNode[] votes = [.. device.SelectMany(file => file!["placement"]!["votes"]!.AsArray().Where(vote =>
                    (double)file["placement"]!["start_s"]! + (double)vote!["at_in_clip_s"]! is var at
                    && at >= (double)take!["start_s"]! && at < (double)take["end_s"]!).Select(vote => vote!))];
                return (votes.Where(vote => (bool)vote["counted"]!).Select(vote => (double)vote["residual_s"]!).ToArray(), votes.Length);
            }));

    private static string Device(JsonNode document, JsonNode file) => (string)document["files"]!.AsArray()
        .Single(other => (string)other!["path"]! == (string)file!)!["clip"]!["device"]!;

    private static IEnumerable<JsonObject> Objects(JsonNode? node) => node switch
    {
        JsonObject thing => thing.SelectMany(property => Objects(property.Value)).Prepend(thing),
        JsonArray list => list.SelectMany(Objects),
        _ => [],
    };

    private static IEnumerable<(string Name, JsonNode? Node)> Leaves(JsonNode? node, string name = "") => node switch
    {
        JsonObject thing => thing.SelectMany(property => Leaves(property.Value, property.Key)),
        JsonArray list => list.SelectMany(item => Leaves(item, name)),
        _ => [(name, node)],
    };

    private static double Number(string printed) =>
        double.Parse(printed.Replace('−', '-').Replace("ppm", string.Empty, StringComparison.Ordinal), CultureInfo.InvariantCulture);

    [GeneratedRegex("""
        (?<timecode>\d\d:\d\d:\d\d:\d\d)
        |(?<clock>−?\d+:\d\d:\d\d(?:\.\d+)?)(?!:)
        |(?<ppm>[+−]?\d+(?:\.\d+)?)\x20±\x20(?<ppm>\d+(?:\.\d+)?)\x20ppm
        |(?<ppm>[+−]?\d+(?:\.\d+)?)\x20ppm
        |(?<LUFS>[+−]?\d+(?:\.\d+)?)\x20LUFS
        |(?<LU>[+−]?\d+(?:\.\d+)?)\x20LU\b
        |(?<dBTP>[+−]?\d+(?:\.\d+)?)\x20dBTP
        |(?<dBFS>[+−]?\d+(?:\.\d+)?)\x20dBFS
        |(?<dB>[+−]?\d+(?:\.\d+)?)\x20dB\b
        |(?<ms>[+−]?\d+(?:\.\d+)?)\x20ms\b
        |(?<percent>(?:over\x20)?\d+(?:\.\d+)?\x20%)
        |(?<bytes>\d+(?:\.\d+)?\x20[GM]B)
        |(?<length>\d+\x20h\x20\d\d\x20min|\d+\x20min\x20\d\d\x20s|\d+(?:\.\d+)?\x20s)\b
        |(?<count>\d+\x20(?:files?|takes?|clips?|segments?|faults?|windows?|placed|set\x20aside|check\x20by\x20ear|unreadable))\b
        """, RegexOptions.IgnorePatternWhitespace)]
    private static partial Regex Figure();

    [GeneratedRegex("""\d+(?:\.\d+)?""")]
    private static partial Regex Digits();
}
