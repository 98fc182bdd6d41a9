using System.Collections.Immutable;
using System.Globalization;
using System.Text.Json;
using SyncBench.Media;
using SyncBench.Signal.Loudness;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>
/// Writes a timeline as OpenTimelineIO JSON, in the schema versions that the library writes since 0.15 (Clip.2, Marker.2,
/// all else .1): newer readers upgrade them, older ones refuse anything newer.
/// </summary>
/// <remarks>
/// Source times are in the file's own numbering (its timecode or time reference, else from zero) and at its own rate.
/// Lengths are in frames of the timeline for picture and in samples of 48 kHz for sound, always in whole ones: edges are
/// rounded where they stand, so that no rounding adds up along a track. What is ours alone stands in metadata under <c>syncbench</c>.
/// UTF-8 without byte order mark: the library's parser refuses one.
/// </remarks>
public sealed class OtioWriter
{
    private const string Namespace = "syncbench";
    private const string MediaKey = "DEFAULT_MEDIA";

    private readonly Utf8JsonWriter _json;
    private readonly TimelineModel _timeline;
    private readonly string _folder;

    private OtioWriter(Utf8JsonWriter json, TimelineModel timeline, string folder) =>
        (_json, _timeline, _folder) = (json, timeline, folder);

    /// <param name="timelineFolder">Full path of the folder the file will stand in: media links are relative to it.</param>
    public static void Write(Stream output, TimelineModel timeline, string timelineFolder)
    {
        using Utf8JsonWriter json = Json(output);
        new OtioWriter(json, timeline, timelineFolder).Write();
    }

    /// <summary>
    /// A collection of timelines. Each take is a stack of tracks, and the timeline around it says at which timecode it
    /// begins, which a stack alone cannot.
    /// </summary>
    public static void WriteCollection(Stream output, string name, IEnumerable<TimelineModel> takes, string timelineFolder)
    {
        using Utf8JsonWriter json = Json(output);
        json.WriteStartObject();
        json.WriteString("OTIO_SCHEMA", "SerializableCollection.1");
        json.WriteStartObject("metadata");
        json.WriteEndObject();
        json.WriteString("name", name);
        json.WriteStartArray("children");
        foreach (TimelineModel take in takes)
        {
            new OtioWriter(json, take, timelineFolder).Write();
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static Utf8JsonWriter Json(Stream output) => new(output, new JsonWriterOptions { Indented = true, NewLine = "\n" });

    private void Write()
    {
        _json.WriteStartObject();
        Head("Timeline.1", _timeline.Name, Residuals);
        _json.WritePropertyName("global_start_time");
        Time(_timeline.FirstFrame, _timeline.FrameRate);
        _json.WriteStartObject("tracks");
        Head("Stack.1", "tracks");
        _json.WriteNull("source_range");
        Array("effects");
        Markers(_timeline.Markers);
        _json.WriteBoolean("enabled", true);
        Array("children", () =>
        {
            foreach (TimelineTrack track in _timeline.Tracks)
            {
                Track(track);
            }
        });
        _json.WriteEndObject();
        _json.WriteEndObject();
    }

    private void Residuals()
    {
        _json.WriteNumber("worst_frame_grid_residual_ms", Math.Round(_timeline.WorstResidual.ToMilliseconds(), 3));
        _json.WriteStartObject("frame_grid_residual_ms");
        foreach (GridResidual residual in _timeline.Residuals)
        {
            _json.WriteNumber(residual.Clip.File.Path, Math.Round(residual.Worst.ToMilliseconds(), 3));
        }

        _json.WriteEndObject();
    }

    private void Track(TimelineTrack track)
    {
        bool isPicture = track.Kind == TrackKind.Picture;
        Rate rate = isPicture ? _timeline.FrameRate : TimelineModel.SoundRate;
        _json.WriteStartObject();
        Head("Track.1", track.Name);
        _json.WriteNull("source_range");
        ItemFields(track.Enabled, track.Markers);
        _json.WriteString("kind", isPicture ? "Video" : "Audio");
        Array("children", () =>
        {
            long at = 0;
            foreach (TimelineItem item in track.Items)
            {
                long start = item.RecordRange.Start.ToNearestUnit(rate), end = item.RecordRange.End.ToNearestUnit(rate);
                Gap(start - at, rate);
                if (isPicture)
                {
                    PictureClip(item, end - start);
                }
                else
                {
                    SoundClip(item, item.Mic!, start, end - start);
                }

                at = end;
            }

            // Every track is as long as the timeline.
            Gap(_timeline.Duration.ToNearestUnit(rate) - at, rate);
        });
        _json.WriteEndObject();
    }

    private void Gap(long length, Rate rate)
    {
        if (length > 0)
        {
            _json.WriteStartObject();
            Head("Gap.1", string.Empty);
            Range("source_range", new Units(0, rate), new Units(length, rate));
            ItemFields(enabled: true);
            _json.WriteEndObject();
        }
    }

    /// <summary>Frames of the file, for so many frames of the timeline.</summary>
    private void PictureClip(TimelineItem item, long length)
    {
        Rate rate = ClipRanges.FrameRate(item.Clip, _timeline.FrameRate);
        TimeRange picture = ClipRanges.Picture(item.Clip, rate);
        long first = MediaNumbering.Of(item.Clip.Media).FirstFrame;
        Clip(
            item,
            source: new Units(first + (item.SourceStart - picture.Start).ToNearestUnit(rate), rate),
            length: new Units(length, _timeline.FrameRate),
            available: new Units(first, rate),
            availableLength: new Units(picture.Duration.ToNearestUnit(rate), rate));
    }

    /// <summary>Samples of the file, for so many of the timeline.</summary>
    private void SoundClip(TimelineItem item, MicChannel mic, long start, long length)
    {
        Rate rate = ClipRanges.SampleRate(item.Clip, mic), unit = TimelineModel.SoundRate;
        long zero = MediaNumbering.Of(item.Clip.Media).ClipZero.ToNearestUnit(rate);
        long available = item.Clip.Duration.ToUnitFloor(rate);
        long latest = (MediaTime.FromUnits(available, rate) - MediaTime.FromUnits(length, unit)).ToUnitFloor(rate);

        // What rounding moved on the timeline is moved in the file too.
        MediaTime moved = MediaTime.FromUnits(start, unit) - item.RecordRange.Start;
        long source = Math.Clamp(item.SourceAt(moved).ToNearestUnit(rate), 0, Math.Max(0, latest));
        Clip(item, new Units(zero + source, rate), new Units(length, unit), new Units(zero, rate), new Units(available, rate));
    }

    private void Clip(TimelineItem item, Units source, Units length, Units available, Units availableLength)
    {
        MediaFile file = item.Clip.File;
        _json.WriteStartObject();
        Head("Clip.2", Name(item), () => WhatIsOurs(item));
        Range("source_range", source, length);
        Array("effects", () => Speed(item.TimeScalar));
        Markers([]);
        _json.WriteBoolean("enabled", true);
        _json.WriteStartObject("media_references");
        _json.WriteStartObject(MediaKey);
        Head("ExternalReference.1", file.Name);
        Range("available_range", available, availableLength);
        _json.WriteNull("available_image_bounds");
        _json.WriteString("target_url", RelativeUrl(file.FullPath));
        _json.WriteEndObject();
        _json.WriteEndObject();
        _json.WriteString("active_media_reference_key", MediaKey);
        _json.WriteEndObject();
    }

    /// <summary>Of the file; where it has several channels, the one that is meant, for readers that pass over our metadata.</summary>
    private static string Name(TimelineItem item)
    {
        string stem = Path.GetFileNameWithoutExtension(item.Clip.File.Name);
        return item.Mic is { } mic && item.Clip.Media.Channels > 1
            ? string.Create(CultureInfo.InvariantCulture, $"{stem} channel {mic.Channel + 1}") : stem;
    }

    private void Speed(double? timeScalar)
    {
        if (timeScalar is { } scalar)
        {
            _json.WriteStartObject();
            Head("LinearTimeWarp.1", string.Empty);
            _json.WriteString("effect_name", "LinearTimeWarp");
            _json.WriteBoolean("enabled", true);
            _json.WritePropertyName("time_scalar");
            _json.WriteRawValue(AsDouble(scalar));
            _json.WriteEndObject();
        }
    }

    private void WhatIsOurs(TimelineItem item)
    {
        _json.WriteString("device", item.Clip.Device.Name);
        if (item.Mic is { } mic)
        {
            _json.WriteNumber("channel", mic.Channel + 1);
            _json.WriteString("mic", mic.Role.InWords());
        }

        _json.WriteNumber("rate_ppm", Math.Round(item.Placement.Map.Ppm, 4));
        if (double.IsFinite(item.Placement.Certainty))
        {
            _json.WriteNumber("certainty", item.Placement.Certainty);
        }

        if (item.GainDb is { } gain)
        {
            _json.WriteNumber("gain_to_target_db", Math.Round(gain, 2));
            _json.WriteNumber("target_lufs", LoudnessFigures.TargetLufs);
        }

        if (item.Note.Length > 0)
        {
            _json.WriteString("reason", item.Note);
        }
    }

    private void Markers(ImmutableArray<TimelineMarker> markers) => Array("markers", () =>
    {
        foreach (TimelineMarker marker in markers)
        {
            Marker(marker);
        }
    });

    /// <summary>One of the library's marker colours; what a marker means stands in its name.</summary>
    private static string Colour(MarkerKind kind) => kind switch
    {
        MarkerKind.Fault => "ORANGE",
        MarkerKind.MicChange => "CYAN",
        MarkerKind.Answer => "GREEN",
        _ => "PURPLE",
    };

    private void Marker(TimelineMarker marker)
    {
        Rate rate = _timeline.FrameRate;
        _json.WriteStartObject();
        Head("Marker.2", marker.Name);
        Range(
            "marked_range",
            new Units(marker.RecordRange.Start.ToNearestUnit(rate), rate),
            new Units(marker.RecordRange.Duration.ToNearestUnit(rate), rate));
        _json.WriteString("color", Colour(marker.Kind));
        _json.WriteString("comment", marker.Comment);
        _json.WriteEndObject();
    }

    /// <summary>The fields that every object begins with.</summary>
    private void Head(string schema, string name, Action? ours = null)
    {
        _json.WriteString("OTIO_SCHEMA", schema);
        _json.WriteStartObject("metadata");
        if (ours is not null)
        {
            _json.WriteStartObject(Namespace);
            ours();
            _json.WriteEndObject();
        }

        _json.WriteEndObject();
        _json.WriteString("name", name);
    }

    /// <summary>The fields that every item has beside its source range.</summary>
    private void ItemFields(bool enabled, ImmutableArray<TimelineMarker> markers = default)
    {
        Array("effects");
        Markers(markers.IsDefault ? [] : markers);
        _json.WriteBoolean("enabled", enabled);
    }

    private void Array(string name, Action? content = null)
    {
        _json.WriteStartArray(name);
        content?.Invoke();
        _json.WriteEndArray();
    }

    private void Range(string name, Units start, Units duration)
    {
        _json.WriteStartObject(name);
        _json.WriteString("OTIO_SCHEMA", "TimeRange.1");
        _json.WritePropertyName("duration");
        Time(duration.Count, duration.Rate);
        _json.WritePropertyName("start_time");
        Time(start.Count, start.Rate);
        _json.WriteEndObject();
    }

    private void Time(long count, Rate rate)
    {
        _json.WriteStartObject();
        _json.WriteString("OTIO_SCHEMA", "RationalTime.1");
        _json.WritePropertyName("rate");
        _json.WriteRawValue(AsDouble(rate.PerSecond));
        _json.WritePropertyName("value");
        _json.WriteRawValue(AsDouble(count));
        _json.WriteEndObject();
    }

    /// <summary>As the library writes doubles: "25.0", not "25".</summary>
    private static string AsDouble(double value)
    {
        string text = value.ToString("R", CultureInfo.InvariantCulture);
        return text.AsSpan().IndexOfAny('.', 'E') < 0 ? text + ".0" : text;
    }

    private string RelativeUrl(string file) => string.Join('/', Path
        .GetRelativePath(_folder, file)
        .Split(Path.DirectorySeparatorChar)
        .Select(Uri.EscapeDataString));

    /// <summary>Whole frames or samples.</summary>
    private readonly record struct Units(long Count, Rate Rate);
}
