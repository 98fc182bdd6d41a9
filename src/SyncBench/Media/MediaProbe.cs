using System.Collections.Immutable;
using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using FFMpegCore;
using SyncBench.Time;

namespace SyncBench.Media;

/// <summary>Asks ffprobe what a file is. A file that cannot be read is an answer, not an exception.</summary>
public static class MediaProbe
{
    public static async Task<ProbeResult> ProbeAsync(MediaFile file, CancellationToken cancellation)
    {
        if (file.Bytes == 0)
        {
            return new ProbeResult(null, "The file is empty: copy it again from the card.");
        }

        (int exitCode, string json, string error) = await RunAsync(file, cancellation);
        try
        {
            if (exitCode != 0)
            {
                string complaint = Ffmpeg.Complaint(error, file.FullPath);
                return new ProbeResult(null, HasNoIndex(complaint) ? Wholeness.WithoutIndex(file.FullPath) ?? Explain(complaint) : Explain(complaint));
            }

            MediaInfo media = Read(file, FFProbe.FromJson(json).Raw);
            return media.Video.IsEmpty && media.Audio.IsEmpty
                ? new ProbeResult(null, "The file holds neither picture nor sound: copy it again from the card.")
                : Plausibility.Problem(media) is { } problem
                ? new ProbeResult(null, problem)
                : new ProbeResult(Wholeness.Check(media), null);
        }
        catch (Exception absurd) when (absurd is OverflowException or JsonException or ArgumentException)
        {
            return new ProbeResult(null, "The file's header claims what no recording can be, so it is damaged: copy it again from the card.");
        }
        catch (Exception gone) when (gone is IOException or UnauthorizedAccessException)
        {
            return new ProbeResult(null, "The file was there a moment ago and cannot be read now: check the disk's connection, then run again.");
        }
    }

    private static bool HasNoIndex(string complaint) => complaint.Contains("moov atom not found", StringComparison.Ordinal);

    private static async Task<(int ExitCode, string Json, string Error)> RunAsync(
        MediaFile file, CancellationToken cancellation)
    {
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(cancellation);
        limit.CancelAfter(Ffmpeg.StallLimit);
        using Process probe = Ffmpeg.Probe(file.FullPath);
        try
        {
            Task<string> json = Ffmpeg.BeginningAsync(probe.StandardOutput, Ffmpeg.MostDescription + 1, limit.Token);
            Task<string> error = Ffmpeg.ComplaintsAsync(probe, limit.Token);
            await probe.WaitForExitAsync(limit.Token);
            return (probe.ExitCode, await json, await error);
        }
        catch (OperationCanceledException) when (!cancellation.IsCancellationRequested)
        {
            return (1, string.Empty, "time limit");
        }
        finally
        {
            Ffmpeg.End(probe);
        }
    }

    /// <summary>The tool's complaint in the words of the person who has to act on it.</summary>
    private static string Explain(string complaint) => complaint switch
    {
        "time limit" => "Reading the file's header took more than a minute: check the disk, then copy the file again.",
        _ when HasNoIndex(complaint) =>
            "The file has no index, so its recording or its copy broke off, or it is no media file: "
            + "copy it again from the card.",
        _ when complaint.Contains("Invalid data", StringComparison.Ordinal) =>
            "This is no media file that can be read, or it is damaged: copy it again from the card.",
        _ when complaint.Contains("No such file", StringComparison.Ordinal) =>
            "The file was there when the run began and is gone: check the disk's connection, then run again.",
        _ when complaint.Contains("Permission denied", StringComparison.Ordinal) =>
            "Reading the file is not permitted: change its permissions, then run again.",
        _ => $"The file cannot be read ({complaint}): copy it again from the card.",
    };

    private static MediaInfo Read(MediaFile file, FFProbeAnalysis raw)
    {
        ImmutableArray<VideoStream> video =
        [
            .. raw.Streams
                .Where(s => s.CodecType == "video" && !IsCoverPicture(s) && FrameRate(s) is not null)
                .Select(s => new VideoStream(
                    s.Index, s.CodecName ?? "unknown", FrameRate(s)!.Value, s.Width ?? 0, s.Height ?? 0, Start(s), Duration(s))
                {
                    IsVariableRate = IsVariable(s),
                    IsInterlaced = s.FieldOrder is "tt" or "bb" or "tb" or "bt",
                }),
        ];
        ImmutableArray<AudioStream> audio =
        [
            .. raw.Streams
                .Where(s => s.CodecType == "audio" && s.Channels > 0 && SampleRate(s) > 0)
                .Select(s => new AudioStream(
                    s.Index, s.CodecName ?? "unknown", SampleRate(s), s.Channels ?? 0, Start(s), Duration(s))
                {
                    Layout = s.ChannelLayout,
                    Name = TrackName(s),
                }),
        ];
        IEnumerable<(MediaTime Start, MediaTime End)> ranges =
        [
            .. video.Select(s => (s.Start, s.Start + s.Duration)), .. audio.Select(s => (s.Start, s.Start + s.Duration)),
        ];
        MediaTime origin = ranges.Select(r => r.Start).DefaultIfEmpty().Min();
        MediaTime end = ranges.Select(r => r.End).DefaultIfEmpty().Max();
        MediaTime duration = end > origin ? end - origin : Seconds(raw.Format.Duration);
        (DateTimeOffset? created, ClockZone zone) = CreatedAt(raw);
        (RecorderNotes? notes, string? notesProblem) =
            raw.Format.FormatName == "wav" ? RecorderNotesReader.Read(file.FullPath) : (null, null);
        return new MediaInfo(
            file, raw.Format.FormatName, origin, duration, video, audio,
            Tag(raw, "timecode"), LongOrNull(Tag(raw, "time_reference")), created, notes, notesProblem)
        {
            Zone = zone,
            MadeBy = MadeBy(raw),
            Reel = notes?.Tape ?? Tag(raw, "reel_name"),
        };
    }

    /// <summary>
    /// A broadcast wave file tells date and time of day apart and no zone, a movie both in one and UTC; the QuickTime key of
    /// the creation date, where there is one, has the place's distance from UTC.
    /// </summary>
    private static (DateTimeOffset? At, ClockZone Zone) CreatedAt(FFProbeAnalysis raw)
    {
        if (DateOrNull(Tag(raw, "com.apple.quicktime.creationdate")) is { } stated)
        {
            return (stated, ClockZone.Stated);
        }

        string? created = Tag(raw, "creation_time");
        bool isTimeOfDay = created is { Length: 8 } && created[2] == ':' && created[5] == ':';
        return isTimeOfDay
            ? (DateOrNull(Tag(raw, "date") is { } date ? $"{date}T{created}" : null), ClockZone.Unsaid)
            : (DateOrNull(created), created?.EndsWith('Z') == true ? ClockZone.Utc : ClockZone.Unsaid);
    }

    /// <summary>Phones and cameras write their maker and model under names of their own, recorders into the bext chunk.</summary>
    private static string? MadeBy(FFProbeAnalysis raw)
    {
        string? maker = Tag(raw, "com.apple.quicktime.make") ?? Tag(raw, "com.android.manufacturer") ?? Tag(raw, "make");
        string? model = Tag(raw, "com.apple.quicktime.model") ?? Tag(raw, "com.android.model") ?? Tag(raw, "model");
        string words = $"{maker} {model}".Trim();
        return words.Length > 0 ? words : raw.Format.FormatName == "wav" ? Tag(raw, "encoded_by") : null;
    }

    /// <summary>What a program wrote because it had to write something is no name.</summary>
    private static string? TrackName(FFProbeStream stream)
    {
        string? name = stream.Tags?.GetValueOrDefault("title") ?? stream.Tags?.GetValueOrDefault("handler_name");
        return string.IsNullOrWhiteSpace(name) || name.Contains("handler", StringComparison.OrdinalIgnoreCase) ? null : name.Trim();
    }

    private static bool IsCoverPicture(FFProbeStream stream) =>
        stream.Disposition?.GetValueOrDefault("attached_pic") == 1;

    private static int SampleRate(FFProbeStream stream) =>
        int.TryParse(stream.SampleRate, NumberStyles.None, CultureInfo.InvariantCulture, out int rate) ? rate : 0;

    /// <summary>
    /// The container's nominal rate where frames keep it, else the average: ffprobe's r_frame_rate is the lowest rate
    /// that can number every time stamp exactly, so a variable-rate file shows a multiple of its real rate there.
    /// </summary>
    private static Rate? FrameRate(FFProbeStream stream)
    {
        Rate? nominal = RateOrNull(stream.FrameRate), average = RateOrNull(stream.AvgFrameRate);
        return nominal is { } n && average is { } a && Math.Abs(n.PerSecond - a.PerSecond) > 0.02 * n.PerSecond
            ? average
            : nominal ?? average;
    }

    /// <summary>Of frames that keep one distance, nominal and mean rate are the same but for the rounding of the last frame.</summary>
    private static bool IsVariable(FFProbeStream stream) =>
        RateOrNull(stream.FrameRate) is { } nominal && RateOrNull(stream.AvgFrameRate) is { } average
        && Math.Abs(nominal.PerSecond - average.PerSecond) > 0.001 * nominal.PerSecond;

    private static Rate? RateOrNull(string? text)
    {
        string[] parts = (text ?? string.Empty).Split('/');
        return parts.Length == 2
            && int.TryParse(parts[0], NumberStyles.None, CultureInfo.InvariantCulture, out int numerator)
            && int.TryParse(parts[1], NumberStyles.None, CultureInfo.InvariantCulture, out int denominator)
            && numerator > 0 && denominator > 0
                ? new Rate(numerator, denominator)
                : null;
    }

    private static MediaTime Start(FFProbeStream stream) => InTimeBase(stream, "start_pts") ?? MediaTime.Zero;

    private static MediaTime Duration(FFProbeStream stream) =>
        InTimeBase(stream, "duration_ts") ?? Seconds(stream.Duration);

    /// <summary>An exact time: ffprobe's decimal seconds are cut at a microsecond, its ticks are not.</summary>
    private static MediaTime? InTimeBase(FFProbeStream stream, string field) =>
        stream.ExtensionData is { } more
        && more.TryGetValue(field, out JsonElement ticks) && ticks.TryGetInt64(out long count)
        && more.TryGetValue("time_base", out JsonElement timeBase) && RateOrNull(timeBase.GetString()) is { } unit
            ? MediaTime.FromUnits(count, new Rate(unit.Denominator, unit.Numerator))
            : null;

    private static MediaTime Seconds(string? text) =>
        double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double seconds)
            ? MediaTime.FromSeconds(seconds)
            : MediaTime.Zero;

    /// <summary>A tag of the file or of the first stream that has it.</summary>
    private static string? Tag(FFProbeAnalysis raw, string name) =>
        raw.Streams.Select(s => s.Tags).Prepend(raw.Format.Tags)
            .Select(tags => tags?.GetValueOrDefault(name))
            .FirstOrDefault(value => !string.IsNullOrWhiteSpace(value));

    private static long? LongOrNull(string? text) =>
        long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out long value) ? value : null;

    private static DateTimeOffset? DateOrNull(string? text) =>
        DateTimeOffset.TryParse(
            text, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset value)
            ? value
            : null;
}
