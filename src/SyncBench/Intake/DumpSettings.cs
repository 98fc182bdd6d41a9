using System.Collections.Immutable;
using System.Text.Json.Serialization;
using SyncBench.Media;

namespace SyncBench.Intake;

/// <summary>What a crew can say of its dump beforehand; all of it optional.</summary>
/// <param name="Devices">Rules, tried in order: the first that matches a file names its device.</param>
/// <param name="Certainty">Probability below which a placement is left to be checked by ear.</param>
/// <param name="TimeZone">Of the place of shooting, by its IANA name ("Europe/Lisbon"); null where times are left as the files have them.</param>
/// <param name="Schema">Where an editor of text finds docs/settings.schema.json; nothing here reads it.</param>
public sealed record DumpSettings(
    ImmutableArray<DeviceRule> Devices = default,
    double Certainty = DumpSettings.UsualCertainty,
    Corrections? Corrections = null,
    TimelineSettings? Timeline = null,
    string? TimeZone = null,
    [property: JsonPropertyName("$schema")] string? Schema = null)
{
    public const double UsualCertainty = 0.999;

    public static DumpSettings Usual { get; } = new([]);

    /// <summary>These settings as a file would say them, with all that is usual filled in.</summary>
    public string InEffect() => SettingsFile.Text(this);

    public Corrections Corrections { get; init; } = Corrections ?? Corrections.None;

    public TimelineSettings Timeline { get; init; } = Timeline ?? TimelineSettings.Usual;

    /// <exception cref="SettingsException">The file cannot be read or says something unknown.</exception>
    public static DumpSettings Load(string path)
    {
        try
        {
            return Checked(Complete(SettingsFile.Read<DumpSettings>(path, "run again") ?? Usual), path);
        }
        catch (Exception missing) when (missing is IOException or UnauthorizedAccessException)
        {
            throw new SettingsException($"{path}: the settings file cannot be read. Check its path and permissions.");
        }
    }

    private static DumpSettings Complete(DumpSettings settings) => settings with
    {
        Devices = settings.Devices.IsDefault ? [] : settings.Devices,
    };

    private static DumpSettings Checked(DumpSettings settings, string path) =>
        settings.Mistakes().FirstOrDefault() is ({ } wrong, { } where)
            ? throw new SettingsException(FormattableString.Invariant(
                $"{path}: line {SettingsLine.Of(path, where)}: {wrong}. Correct the file, then run again."))
            : settings;

    /// <summary>What is wrong, and where it stands in the file.</summary>
    private IEnumerable<(string Wrong, object[] Where)> Mistakes()
    {
        if (Certainty is not (> 0 and < 1))
        {
            yield return ("certainty is a probability between 0 and 1", ["certainty"]);
        }

        for (int i = 0; i < Devices.Length; i++)
        {
            (string Wrong, string Field)? mistake = Devices[i] is { } rule ? rule.Mistake(TimeZone is not null) : ("a device is null", string.Empty);
            if (mistake is { } found)
            {
                yield return (found.Wrong, ["devices", i, found.Field]);
            }
        }

        if (TimeZone is { } zone && !TimeZoneInfo.TryFindSystemTimeZoneById(zone, out _))
        {
            yield return ($"time_zone \"{zone}\" is no zone that this machine knows; write it as \"Europe/Lisbon\"", ["time_zone"]);
        }

        if (Corrections.Wrong() is { } correction)
        {
            yield return (correction, ["corrections"]);
        }

        if (Timeline.Wrong() is { } timeline)
        {
            yield return (timeline, ["timeline"]);
        }
    }
}

/// <summary>One rule of the settings.</summary>
/// <param name="Match">Glob on the path inside the dump: "CAM_A/**", "*.WAV".</param>
/// <param name="Mics">What each channel is, in order; channels beyond the list keep the usual role.</param>
/// <param name="DistanceM">Talker to camera in metres.</param>
/// <param name="PictureOffsetMs">Milliseconds by which the camera's sound is late against its own picture.</param>
/// <param name="ClockIsLocal">Whether the device's clock shows the place's time though its files call it UTC.</param>
public sealed record DeviceRule(
    string Match,
    string Name,
    string? Angle = null,
    ImmutableArray<MicRole> Mics = default,
    double? DistanceM = null,
    double? PictureOffsetMs = null,
    bool ClockIsLocal = false)
{
    public ImmutableArray<MicRole> Mics { get; init; } = Mics.IsDefault ? [] : Mics;

    /// <summary>What is wrong, and in which field; null where nothing is.</summary>
    internal (string Wrong, string Field)? Mistake(bool zoneIsKnown) =>
        string.IsNullOrWhiteSpace(Match) ? ("every device needs a match and a name", "match")
        : string.IsNullOrWhiteSpace(Name) ? ("every device needs a match and a name", "name")
        : DistanceM is not (null or (>= 0 and < 1000)) ? ("distance_m is metres from talker to camera, 0 to 1000", "distance_m")
        : PictureOffsetMs is not (null or (>= -1000 and <= 1000))
            ? ("picture_offset_ms is milliseconds by which the sound comes after its picture, -1000 to 1000", "picture_offset_ms")
        : ClockIsLocal && !zoneIsKnown ? ("clock_is_local needs the time_zone of the place", "clock_is_local")
        : null;
}
