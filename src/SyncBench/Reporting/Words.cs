using System.Collections.Immutable;
using System.Globalization;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Selection.Speakers;

namespace SyncBench.Reporting;

/// <summary>The trade's words for what the enumerations stand for.</summary>
internal static class Words
{
    internal static string Of(Speaking who) => who switch
    {
        Speaking.Neither => "neither",
        Speaking.Subject => "subject",
        Speaking.Interviewer => "interviewer",
        Speaking.Both => "both",
        _ => throw new ArgumentOutOfRangeException(nameof(who), who, "not known to speak"),
    };

    internal static string Of(FindingKind kind) => kind switch
    {
        FindingKind.NotAsInManifest => "not as in the manifest",
        FindingKind.NotAsInLastRun => "not as in the last run",
        FindingKind.StillWritten => "still being written",
        FindingKind.NotRead => "not read",
        FindingKind.Manifest => "manifest",
        FindingKind.MissingNumber => "hole in the numbering",
        FindingKind.GrewSinceLastRun => "grew since the last run",
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "not a kind of finding"),
    };

    /// <summary>What a clip is for: a camera's angle, a recorder's mics ("lavalier + shotgun").</summary>
    internal static string Role(Clip clip) => clip.Device.Angle ?? Mics(clip.Mics);

    /// <summary>"lavalier + shotgun"; each kind once, in order of channel.</summary>
    internal static string Mics(ImmutableArray<MicChannel> mics) =>
        string.Join(" + ", mics.OrderBy(mic => mic.Channel).Select(mic => mic.Role.InWords()).Distinct(StringComparer.Ordinal));

    /// <summary>"lavalier, RECORDER channel 1".</summary>
    internal static string Mic(MicSource source) => Mic(source.Clip.Device, source.Mic);

    internal static string Mic(Device device, MicChannel mic) => string.Create(
        CultureInfo.InvariantCulture, $"{mic.Role.InWords()}, {device.Name} channel {mic.Channel + 1}");

    /// <summary>"RECORDER ch. 1".</summary>
    internal static string Where(MicSource source) => string.Create(
        CultureInfo.InvariantCulture, $"{source.Clip.Device.Name} ch. {source.Mic.Channel + 1}");

    /// <summary>"1 clip", "3 clips".</summary>
    internal static string Count(int count, string one, string? many = null) =>
        string.Create(CultureInfo.InvariantCulture, $"{count} {(count == 1 ? one : many ?? one + "s")}");
}
