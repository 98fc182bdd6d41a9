using System.Text.Json;

namespace SyncBench.Tests.Timeline;

internal sealed record OtioRange(decimal Start, decimal Duration, decimal StartValue, decimal DurationValue)
{
    public decimal End => Start + Duration;
}

/// <param name="At">Seconds on the track: the sum of what lies before, which is all that the format knows.</param>
/// <param name="Available">Null for a gap.</param>
/// <param name="TimeScalar">Of its one effect, a LinearTimeWarp; 1 without.</param>
internal sealed record OtioItem(
    bool IsGap, string Name, decimal At, OtioRange Source, OtioRange? Available, string? Url, JsonElement Ours,
    double TimeScalar = 1)
{
    /// <summary>Seconds of the file's own numbering, so long after the start of the clip.</summary>
    public decimal FileTime(decimal after) => Source.Start - (Available?.Start ?? 0) + (after * (decimal)TimeScalar);
}

internal sealed record OtioTrack(
    string Name, string Kind, bool Enabled, IReadOnlyList<OtioItem> Items, IReadOnlyList<OtioMarker> Markers)
{
    public decimal Duration => Items.Sum(item => item.Source.Duration);

    public IEnumerable<OtioItem> Clips => Items.Where(item => !item.IsGap);
}

internal sealed record OtioMarker(string Name, string Comment, string Color, OtioRange Range);

/// <summary>
/// A strict reader of timeline files, which knows nothing of how they were written: what is missing, of another schema
/// version or of another type is an error.
/// </summary>
/// <remarks>
/// Source of names, versions and required fields: OpenTimelineIO (Apache-2.0), docs/tutorials/otio-serialized-schema.md and
/// the library 0.18.1, which refuses what lacks them; Marker.2 and Clip.2 are its CORE_VERSION_MAP since 0.15. That
/// exactly 24000/1001 and not 23.98 is a timecode rate is its is_valid_timecode_rate. Seconds are decimals, so sums over
/// an hour of samples keep 20 digits.
/// </remarks>
internal sealed class OtioReader
{
    private static readonly string[] Colors =
        ["PINK", "RED", "ORANGE", "YELLOW", "GREEN", "CYAN", "BLUE", "PURPLE", "MAGENTA", "BLACK", "WHITE"];

    private static readonly double[] Rates =
        [24000.0 / 1001, 24, 25, 30000.0 / 1001, 30, 50, 60000.0 / 1001, 60, 44100, 48000, 96000];

    private OtioReader(JsonElement root)
    {
        Is(root, "Timeline.1");
        Name = root.GetProperty("name").GetString()!;
        GlobalStart = Time(root.GetProperty("global_start_time"));
        Ours = root.GetProperty("metadata").GetProperty("syncbench");
        JsonElement stack = root.GetProperty("tracks");
        Is(stack, "Stack.1");
        Item(stack);
        Markers = [.. stack.GetProperty("markers").EnumerateArray().Select(Marker)];
        Tracks = [.. stack.GetProperty("children").EnumerateArray().Select(Track)];
    }

    public string Name { get; }

    public (decimal Seconds, decimal Value) GlobalStart { get; }

    /// <summary>What stands under our own key.</summary>
    public JsonElement Ours { get; }

    public IReadOnlyList<OtioTrack> Tracks { get; }

    public IReadOnlyList<OtioMarker> Markers { get; }

    public static OtioReader Read(byte[] file)
    {
        // The library's parser refuses a byte order mark.
        Assert.Equal((byte)'{', file[0]);
        using JsonDocument json = JsonDocument.Parse(file);
        return new OtioReader(json.RootElement.Clone());
    }

    public static (string Name, OtioReader[] Timelines) ReadCollection(byte[] file)
    {
        using JsonDocument json = JsonDocument.Parse(file);
        JsonElement root = json.RootElement;
        Is(root, "SerializableCollection.1");
        return (root.GetProperty("name").GetString()!,
            [.. root.GetProperty("children").EnumerateArray().Select(child => new OtioReader(child.Clone()))]);
    }

    /// <summary>
    /// What the format's time model asks (docs/tutorials/time-ranges.md, otio-timeline-structure.md): children lie end to
    /// end, each takes its source range out of what its file has, with its speed too; and ours: all tracks are of one length.
    /// </summary>
    public void CheckArithmetic()
    {
        Assert.All(Tracks, track => Assert.Equal(Tracks[0].Duration, track.Duration, 15));
        foreach (OtioTrack track in Tracks)
        {
            decimal at = 0;
            foreach (OtioItem item in track.Items)
            {
                Assert.Equal(at, item.At);
                at += item.Source.Duration;
                if (item.Available is { } available)
                {
                    const decimal Digits = 1e-15m;
                    Assert.True(item.Source.Start >= available.Start - Digits, item.Name);
                    Assert.True(item.Source.End <= available.End + Digits, item.Name);
                    Assert.True(item.FileTime(item.Source.Duration) <= available.Duration + Digits, item.Name);
                }
            }

            Assert.Equal(track.Duration, at);
        }
    }

    private static OtioTrack Track(JsonElement track)
    {
        Is(track, "Track.1");
        Item(track);
        string kind = track.GetProperty("kind").GetString()!;
        Assert.Contains(kind, new[] { "Video", "Audio" });
        decimal at = 0;
        var items = new List<OtioItem>();
        foreach (JsonElement child in track.GetProperty("children").EnumerateArray())
        {
            OtioItem item = Child(child, at);
            items.Add(item);
            at += item.Source.Duration;
        }

        return new OtioTrack(
            track.GetProperty("name").GetString()!, kind, track.GetProperty("enabled").GetBoolean(), items,
            [.. track.GetProperty("markers").EnumerateArray().Select(Marker)]);
    }

    private static OtioItem Child(JsonElement child, decimal at)
    {
        Item(child);
        string name = child.GetProperty("name").GetString()!;
        OtioRange source = Range(child.GetProperty("source_range"));
        Assert.True(source.DurationValue > 0, $"\"{name}\" has no length");
        if (child.GetProperty("OTIO_SCHEMA").GetString() == "Gap.1")
        {
            return new OtioItem(true, name, at, source, null, null, default);
        }

        Is(child, "Clip.2");
        string key = child.GetProperty("active_media_reference_key").GetString()!;
        JsonElement media = child.GetProperty("media_references").GetProperty(key);
        Is(media, "ExternalReference.1");
        return new OtioItem(
            false, name, at, source, Range(media.GetProperty("available_range")),
            media.GetProperty("target_url").GetString(), child.GetProperty("metadata").GetProperty("syncbench"),
            TimeScalar(child.GetProperty("effects")));
    }

    private static double TimeScalar(JsonElement effects)
    {
        Assert.InRange(effects.GetArrayLength(), 0, 1);
        foreach (JsonElement effect in effects.EnumerateArray())
        {
            Is(effect, "LinearTimeWarp.1");
            return effect.GetProperty("time_scalar").GetDouble();
        }

        return 1;
    }

    private static OtioMarker Marker(JsonElement marker)
    {
        Is(marker, "Marker.2");
        string color = marker.GetProperty("color").GetString()!;
        Assert.Contains(color, Colors);
        return new OtioMarker(
            marker.GetProperty("name").GetString()!, marker.GetProperty("comment").GetString()!, color,
            Range(marker.GetProperty("marked_range")));
    }

    /// <summary>Metadata stands under one key of our own, as the file format asks.</summary>
    private static void Is(JsonElement element, string schema)
    {
        Assert.Equal(schema, element.GetProperty("OTIO_SCHEMA").GetString());
        Assert.Equal(JsonValueKind.String, element.GetProperty("name").ValueKind);
        Assert.All(element.GetProperty("metadata").EnumerateObject(), entry => Assert.Equal("syncbench", entry.Name));
    }

    private static void Item(JsonElement item)
    {
        Assert.Equal(JsonValueKind.Array, item.GetProperty("effects").ValueKind);
        Assert.Equal(JsonValueKind.Array, item.GetProperty("markers").ValueKind);
        Assert.True(item.TryGetProperty("source_range", out _));
        _ = item.GetProperty("enabled").GetBoolean();
    }

    private static OtioRange Range(JsonElement range)
    {
        Assert.Equal("TimeRange.1", range.GetProperty("OTIO_SCHEMA").GetString());
        (decimal start, decimal startValue) = Time(range.GetProperty("start_time"));
        (decimal duration, decimal durationValue) = Time(range.GetProperty("duration"));
        Assert.True(durationValue >= 0);
        return new OtioRange(start, duration, startValue, durationValue);
    }

    private static (decimal Seconds, decimal Value) Time(JsonElement time)
    {
        Assert.Equal("RationalTime.1", time.GetProperty("OTIO_SCHEMA").GetString());
        string value = time.GetProperty("value").GetRawText(), rate = time.GetProperty("rate").GetRawText();
        Assert.Contains('.', value);
        Assert.Contains('.', rate);
        Assert.Contains(time.GetProperty("rate").GetDouble(), Rates);
        decimal units = time.GetProperty("value").GetDecimal();
        Assert.Equal(0, units % 1);
        return (units / Exact(time.GetProperty("rate").GetDouble()), units);
    }

    /// <summary>A double holds 24000/1001 to 17 digits only; what is meant is the fraction.</summary>
    private static decimal Exact(double rate)
    {
        decimal whole = decimal.Round((decimal)rate);
        return Math.Abs(rate - (double)whole) < 1e-9 ? whole : decimal.Round((decimal)rate * 1.001m) / 1.001m;
    }
}
