using System.Globalization;
using System.Text.Json.Nodes;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Time;
using SyncBench.Timeline;

namespace SyncBench.Tests.Timeline;

/// <summary>
/// The file as a reader of the open format sees it. Schema names, versions and required fields are those that the
/// OpenTimelineIO 0.18.1 library writes and demands (its serialized-schema documents and CORE_VERSION_MAP).
/// </summary>
public class OtioWriterTests
{
    private static readonly Dictionary<string, string[]> Required = new()
    {
        ["Timeline.1"] = ["name", "metadata", "tracks", "global_start_time"],
        ["Stack.1"] = ["children", "source_range", "effects", "markers", "enabled"],
        ["Track.1"] = ["children", "kind", "source_range", "effects", "markers", "enabled"],
        ["Clip.2"] = ["media_references", "active_media_reference_key", "source_range"],
        ["Gap.1"] = ["source_range"],
        ["ExternalReference.1"] = ["target_url", "available_range"],
        ["Marker.2"] = ["marked_range", "color", "comment"],
        ["TimeRange.1"] = ["start_time", "duration"],
        ["RationalTime.1"] = ["value", "rate"],
    };

    [Fact]
    public void EveryObject_IsOfAKnownSchemaAndHasItsFields()
    {
        foreach (JsonObject node in Objects(Written(CutExamples.Hour())).Where(o => o.ContainsKey("OTIO_SCHEMA")))
        {
            string schema = (string)node["OTIO_SCHEMA"]!;
            Assert.Contains(schema, Required.Keys);
            Assert.All(Required[schema], field => Assert.True(node.ContainsKey(field), $"{schema} without {field}"));
        }
    }

    [Fact]
    public void Times_AreWrittenAsDoubles_WithExactRates()
    {
        string text = System.Text.Encoding.UTF8.GetString(Bytes(CutExamples.Hour(Rate.Ntsc30, "10:00:00;00")));

        Assert.Contains("\"rate\": 29.97002997002997,", text, StringComparison.Ordinal);
        Assert.Contains("\"rate\": 48000.0,", text, StringComparison.Ordinal);
        Assert.DoesNotContain("NaN", text, StringComparison.Ordinal);
    }

    [Fact]
    public void TheFile_HasNoByteOrderMark() => Assert.Equal((byte)'{', Bytes(CutExamples.Hour())[0]);

    [Fact]
    public void OnATrack_GapsAndClipsAddUpToTheCut()
    {
        DumpResult result = CutExamples.Hour();
        TimelineModel timeline = TimelineBuilder.Build(result);
        JsonArray tracks = Written(result)["tracks"]!["children"]!.AsArray();

        foreach ((TimelineTrack track, JsonNode? written) in timeline.Tracks.Zip(tracks))
        {
            double at = 0;
            int item = 0;
            foreach (JsonNode? child in written!["children"]!.AsArray())
            {
                if ((string)child!["OTIO_SCHEMA"]! == "Clip.2")
                {
                    Assert.Equal(track.Items[item].RecordRange.Start.ToSeconds(), at, 1e-9);
                    item++;
                }

                at += Seconds(child["source_range"]!["duration"]!);
            }

            Assert.Equal(track.Items.Length, item);
            Assert.Equal(track.Items[^1].RecordRange.End.ToSeconds(), at, 1e-9);
        }
    }

    [Fact]
    public void SourceRanges_LieInsideAvailableRanges_InTheFilesOwnNumbering()
    {
        JsonObject[] clips = [.. Objects(Written(CutExamples.Hour(timecode: "10:00:00:00"))).Where(o => (string?)o["OTIO_SCHEMA"] == "Clip.2")];

        foreach (JsonObject clip in clips)
        {
            JsonNode available = clip["media_references"]!["DEFAULT_MEDIA"]!["available_range"]!;
            double from = Seconds(available["start_time"]!), to = from + Seconds(available["duration"]!);
            double start = Seconds(clip["source_range"]!["start_time"]!);
            Assert.InRange(start, from - 1e-9, to);
            Assert.InRange(start + Seconds(clip["source_range"]!["duration"]!), from, to + 1e-9);
        }

        Assert.Contains(clips, clip => Seconds(clip["media_references"]!["DEFAULT_MEDIA"]!["available_range"]!["start_time"]!) == 36_000);
    }

    [Theory]
    [InlineData("CAM_A/Ropewalk day 2 #1?.MP4", "../dumps/ropewalk-day2/CAM_A/Ropewalk%20day%202%20%231%3F.MP4")]
    [InlineData("CAM_A/Tjære 100%.MP4", "../dumps/ropewalk-day2/CAM_A/Tj%C3%A6re%20100%25.MP4")]
    public void Links_AreRelativeAndEncoded(string file, string url)
    {
        JsonObject reference = Objects(Written(CutExamples.Hour(wideFile: file)))
            .First(o => (string?)o["OTIO_SCHEMA"] == "ExternalReference.1");

        Assert.Equal(url, (string?)reference["target_url"]);
    }

    [Fact]
    public void TheCulture_ChangesNothing()
    {
        byte[] before = Bytes(CutExamples.Hour());
        CultureInfo culture = CultureInfo.CurrentCulture;
        CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo("de-DE");
        byte[] german = Bytes(CutExamples.Hour());
        CultureInfo.CurrentCulture = culture;

        Assert.Equal(before, german);
    }

    private static byte[] Bytes(DumpResult result)
    {
        using var stream = new MemoryStream();
        OtioWriter.Write(stream, TimelineBuilder.Build(result), "/results");
        return stream.ToArray();
    }

    private static JsonObject Written(DumpResult result) => JsonNode.Parse(Bytes(result))!.AsObject();

    private static double Seconds(JsonNode time) => time["value"]!.GetValue<double>() / time["rate"]!.GetValue<double>();

    private static IEnumerable<JsonObject> Objects(JsonNode? node) => node switch
    {
        JsonObject o => o.Select(member => member.Value).SelectMany(Objects).Prepend(o),
        JsonArray a => a.SelectMany(Objects),
        _ => [],
    };
}
