using System.Collections.Immutable;
using SyncBench.Time;

namespace SyncBench.Media;

/// <summary>A file of a dump. <paramref name="Path"/> is relative to the dump, with '/' between its parts.</summary>
public sealed record MediaFile(string Path, string FullPath, long Bytes)
{
    public string Name => Path[(Path.LastIndexOf('/') + 1)..];
}

/// <summary>What a media file is, as its container tells. Times are on the file's own presentation clock.</summary>
/// <param name="Format">Container, in the words of ffprobe: "mov,mp4,m4a,3gp,3g2,mj2", "wav".</param>
/// <param name="Origin">The file's first presented sample or frame: clip time zero.</param>
/// <param name="StartTimecode">Label of the first frame as written in the file, for example "10:00:00:00".</param>
/// <param name="TimeReference">Broadcast wave: samples since midnight, at the file's sample rate.</param>
/// <param name="CreatedAt">By the device's own clock; cameras write local time as often as UTC.</param>
/// <param name="Notes">What a recorder wrote into the iXML chunk; null where there is none.</param>
/// <param name="NotesProblem">Why the iXML chunk says nothing, in words that fit behind the name of the file.</param>
public sealed record MediaInfo(
    MediaFile File,
    string Format,
    MediaTime Origin,
    MediaTime Duration,
    ImmutableArray<VideoStream> Video,
    ImmutableArray<AudioStream> Audio,
    string? StartTimecode,
    long? TimeReference,
    DateTimeOffset? CreatedAt,
    RecorderNotes? Notes = null,
    string? NotesProblem = null)
{
    /// <summary>Channels over all audio streams, in the order in which they are read.</summary>
    public int Channels => Audio.Sum(stream => stream.Channels);

    /// <summary>What of the file is missing or wrong, and what to do; null where it is whole as far as its header tells.</summary>
    public string? Damage { get; init; }

    /// <summary>Whether the sound goes on to the end of the file, whatever the header says.</summary>
    public bool ReadsToEnd { get; init; }

    /// <summary>A single picture; ffprobe names the demuxers of those "png_pipe" and so on.</summary>
    public bool IsStill => Format.EndsWith("_pipe", StringComparison.Ordinal);
}

public sealed record VideoStream(
    int Index, string Codec, Rate FrameRate, int Width, int Height, MediaTime Start, MediaTime Duration);

public sealed record AudioStream(
    int Index, string Codec, int SampleRateHz, int Channels, MediaTime Start, MediaTime Duration);
