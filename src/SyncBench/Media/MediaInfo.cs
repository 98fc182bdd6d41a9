using System.Collections.Immutable;
using SyncBench.Time;

namespace SyncBench.Media;

/// <summary>A file of a dump. <paramref name="Path"/> is relative to the dump, with '/' between its parts.</summary>
public sealed record MediaFile(string Path, string FullPath, long Bytes)
{
    public string Name => Path[(Path.LastIndexOf('/') + 1)..];

    /// <summary>The folder that holds it; empty for the dump itself.</summary>
    public string Folder => Path[..Math.Max(0, Path.LastIndexOf('/'))];

    /// <summary>The outermost folder that holds it: as a rule a card, or a device; empty for the dump itself.</summary>
    public string TopFolder => Path[..Math.Max(0, Path.IndexOf('/', StringComparison.Ordinal))];
}

/// <summary>What a media file is, as its container tells. Times are on the file's own presentation clock.</summary>
/// <param name="Format">Container, in the words of ffprobe: "mov,mp4,m4a,3gp,3g2,mj2", "wav".</param>
/// <param name="Origin">The file's first presented sample or frame: clip time zero.</param>
/// <param name="StartTimecode">Label of the first frame as written in the file, for example "10:00:00:00".</param>
/// <param name="TimeReference">Broadcast wave: samples since midnight, at the file's sample rate.</param>
/// <param name="CreatedAt">By the device's own clock. What names no zone is taken for UTC; see <see cref="Zone"/>.</param>
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

    /// <summary>What the file says of the zone of <see cref="CreatedAt"/>.</summary>
    public ClockZone Zone { get; init; }

    /// <summary>Maker and model of the camera or recorder, as written in the file; null where it says nothing.</summary>
    public string? MadeBy { get; init; }

    /// <summary>Name of the tape, card or roll, as written in the file.</summary>
    public string? Reel { get; init; }

    /// <summary>The name that the device or its operator gave to a channel; null where the file has none.</summary>
    /// <param name="channel">0-based, over all audio streams.</param>
    public string? ChannelName(int channel)
    {
        if (Notes?.TrackName(channel) is { } noted)
        {
            return noted;
        }

        foreach (AudioStream stream in Audio)
        {
            if (channel < stream.Channels)
            {
                return stream.Name;
            }

            channel -= stream.Channels;
        }

        return null;
    }

    /// <summary>Whether the sound goes on to the end of the file, whatever the header says.</summary>
    public bool ReadsToEnd { get; init; }

    /// <summary>Whether both could be recordings of one device at one setting.</summary>
    public bool IsAlike(MediaInfo other) =>
        Format == other.Format
        && Video.Select(v => (v.Codec, v.Width, v.Height, v.FrameRate)).SequenceEqual(other.Video.Select(v => (v.Codec, v.Width, v.Height, v.FrameRate)))
        && Audio.Select(a => (a.Codec, a.SampleRateHz, a.Channels)).SequenceEqual(other.Audio.Select(a => (a.Codec, a.SampleRateHz, a.Channels)));

    /// <summary>A single picture; ffprobe names the demuxers of those "png_pipe" and so on.</summary>
    public bool IsStill => Format.EndsWith("_pipe", StringComparison.Ordinal);
}

/// <summary>In which zone a file counts its time of day.</summary>
public enum ClockZone
{
    /// <summary>It does not say, as broadcast waves do not: the device's own time.</summary>
    Unsaid,

    /// <summary>UTC, as movies have to say (ISO/IEC 14496-12), whatever the camera's clock was set to.</summary>
    Utc,

    /// <summary>It names its distance from UTC.</summary>
    Stated,
}

public sealed record VideoStream(
    int Index, string Codec, Rate FrameRate, int Width, int Height, MediaTime Start, MediaTime Duration)
{
    /// <summary>Whether frames do not keep one distance, as phones record: <see cref="FrameRate"/> is then their mean.</summary>
    public bool IsVariableRate { get; init; }

    public bool IsInterlaced { get; init; }
}

public sealed record AudioStream(
    int Index, string Codec, int SampleRateHz, int Channels, MediaTime Start, MediaTime Duration)
{
    /// <summary>"mono", "stereo", "5.1" and so on, in the words of ffprobe; null where the file does not say.</summary>
    public string? Layout { get; init; }

    /// <summary>What the device or its operator called the track.</summary>
    public string? Name { get; init; }
}
