using System.Globalization;
using System.Text.Json;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>
/// Writes a timeline as OpenTimelineIO JSON, in the schema versions that the library writes since 0.15 (Clip.2, Marker.2,
/// all else .1): newer readers upgrade them, older ones refuse anything newer.
/// </summary>
/// <remarks>
/// Picture is timed in frames, sound in samples of 48 kHz, each at its own exact rate. What is ours alone stands in
/// metadata under <c>syncbench</c>. UTF-8 without byte order mark: the library's parser refuses one.
/// </remarks>
public static class OtioWriter
{
    private const string Namespace = "syncbench";
    private const string MediaKey = "DEFAULT_MEDIA";

    /// <param name="timelineFolder">Full path of the folder the file will stand in: media links are relative to it.</param>
    public static void Write(Stream output, TimelineModel timeline, string timelineFolder)
    {
        using var json = new Utf8JsonWriter(output, new JsonWriterOptions { Indented = true });
        json.WriteStartObject();
        Head(json, "Timeline.1", timeline.Name, () => Residuals(json, timeline));
        json.WritePropertyName("global_start_time");
        Time(json, MediaTime.FromUnits(timeline.FirstFrame, timeline.FrameRate), timeline.FrameRate);
        json.WriteStartObject("tracks");
        Head(json, "Stack.1", "tracks", null);
        json.WriteNull("source_range");
        Empty(json, "effects");
        json.WriteStartArray("markers");
        foreach (TimelineMarker marker in timeline.Markers)
        {
            Marker(json, marker, timeline.FrameRate);
        }

        json.WriteEndArray();
        json.WriteBoolean("enabled", true);
        json.WriteStartArray("children");
        foreach (TimelineTrack track in timeline.Tracks)
        {
            Track(json, track, track.Kind == TrackKind.Picture ? timeline.FrameRate : Rate.Hz48000, timelineFolder);
        }

        json.WriteEndArray();
        json.WriteEndObject();
        json.WriteEndObject();
    }

    private static void Head(Utf8JsonWriter json, string schema, string name, Action? metadata)
    {
        json.WriteString("OTIO_SCHEMA", schema);
        json.WriteStartObject("metadata");
        if (metadata is not null)
        {
            json.WriteStartObject(Namespace);
            metadata();
            json.WriteEndObject();
        }

        json.WriteEndObject();
        json.WriteString("name", name);
    }

    private static void Residuals(Utf8JsonWriter json, TimelineModel timeline)
    {
        json.WriteStartObject("frame_grid_residual_ms");
        foreach (GridResidual residual in timeline.Residuals)
        {
            json.WriteNumber(residual.Clip.File.Path, Math.Round(residual.Worst.ToMilliseconds(), 3));
        }

        json.WriteEndObject();
    }

    private static void Track(Utf8JsonWriter json, TimelineTrack track, Rate rate, string timelineFolder)
    {
        json.WriteStartObject();
        Head(json, "Track.1", track.Name, null);
        Item(json, null, rate, track.Enabled);
        json.WriteString("kind", track.Kind == TrackKind.Picture ? "Video" : "Audio");
        json.WriteStartArray("children");
        MediaTime at = MediaTime.Zero;
        foreach (TimelineItem item in track.Items)
        {
            if (item.RecordRange.Start > at)
            {
                json.WriteStartObject();
                Head(json, "Gap.1", string.Empty, null);
                Item(json, new TimeRange(MediaTime.Zero, item.RecordRange.Start - at), rate, enabled: true);
                json.WriteEndObject();
            }

            Clip(json, item, rate, timelineFolder);
            at = item.RecordRange.End;
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Clip(Utf8JsonWriter json, TimelineItem item, Rate rate, string timelineFolder)
    {
        MediaInfo media = item.Clip.Media;
        MediaTime mediaStart = MediaLabels.Start(media);
        json.WriteStartObject();
        Head(json, "Clip.2", Path.GetFileNameWithoutExtension(media.File.Name), () =>
        {
            json.WriteString("device", item.Clip.Device.Name);
            if (item.Mic is { } mic)
            {
                json.WriteNumber("channel", mic.Channel + 1);
                json.WriteString("mic", mic.Role.InWords());
            }

            if (item.Note.Length > 0)
            {
                json.WriteString("reason", item.Note);
            }
        });
        Item(json, new TimeRange(mediaStart + item.SourceStart, item.RecordRange.Duration), rate, enabled: true);
        json.WriteStartObject("media_references");
        json.WriteStartObject(MediaKey);
        Head(json, "ExternalReference.1", media.File.Name, null);
        json.WritePropertyName("available_range");
        Rate mediaRate = media.Video.IsEmpty ? new Rate(media.Audio[0].SampleRateHz) : media.Video[0].FrameRate;
        Range(json, new TimeRange(mediaStart, media.Duration), mediaRate);
        json.WriteNull("available_image_bounds");
        json.WriteString("target_url", RelativeUrl(timelineFolder, media.File.FullPath));
        json.WriteEndObject();
        json.WriteEndObject();
        json.WriteString("active_media_reference_key", MediaKey);
        json.WriteEndObject();
    }

    /// <summary>The fields that every item has; a clip or gap has a source range, a track has none.</summary>
    private static void Item(Utf8JsonWriter json, TimeRange? sourceRange, Rate rate, bool enabled)
    {
        json.WritePropertyName("source_range");
        if (sourceRange is { } range)
        {
            Range(json, range, rate);
        }
        else
        {
            json.WriteNullValue();
        }

        Empty(json, "effects");
        Empty(json, "markers");
        json.WriteBoolean("enabled", enabled);
    }

    private static void Marker(Utf8JsonWriter json, TimelineMarker marker, Rate rate)
    {
        json.WriteStartObject();
        Head(json, "Marker.2", marker.Name, null);
        json.WritePropertyName("marked_range");
        Range(json, marker.RecordRange, rate);
        json.WriteString("color", marker.IsFault ? "ORANGE" : "CYAN");
        json.WriteString("comment", marker.Comment);
        json.WriteEndObject();
    }

    private static void Empty(Utf8JsonWriter json, string name)
    {
        json.WriteStartArray(name);
        json.WriteEndArray();
    }

    private static void Range(Utf8JsonWriter json, TimeRange range, Rate rate)
    {
        json.WriteStartObject();
        json.WriteString("OTIO_SCHEMA", "TimeRange.1");
        json.WritePropertyName("duration");
        Time(json, range.Duration, rate);
        json.WritePropertyName("start_time");
        Time(json, range.Start, rate);
        json.WriteEndObject();
    }

    private static void Time(Utf8JsonWriter json, MediaTime time, Rate rate)
    {
        json.WriteStartObject();
        json.WriteString("OTIO_SCHEMA", "RationalTime.1");
        json.WritePropertyName("rate");
        json.WriteRawValue(Double(rate.PerSecond));
        json.WritePropertyName("value");
        json.WriteRawValue(Double(Units(time, rate)));
        json.WriteEndObject();
    }

    /// <summary>Whole where the time is a whole number of units, so that no rounding of doubles is seen.</summary>
    private static double Units(MediaTime time, Rate rate)
    {
        long whole = time.ToNearestUnit(rate);
        return MediaTime.FromUnits(whole, rate) == time ? whole : time.ToSeconds() * rate.PerSecond;
    }

    /// <summary>As the library writes doubles: "25.0", not "25".</summary>
    private static string Double(double value)
    {
        string text = value.ToString("R", CultureInfo.InvariantCulture);
        return text.AsSpan().IndexOfAny('.', 'E') < 0 ? text + ".0" : text;
    }

    private static string RelativeUrl(string folder, string file) => string.Join('/', Path
        .GetRelativePath(folder, file)
        .Split(Path.DirectorySeparatorChar)
        .Select(Uri.EscapeDataString));
}
