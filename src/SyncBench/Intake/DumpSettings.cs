using System.Collections.Immutable;
using SyncBench.Media;

namespace SyncBench.Intake;

/// <summary>What a crew can say of its dump beforehand; all of it optional.</summary>
/// <param name="Devices">Rules, tried in order: the first that matches a file names its device.</param>
/// <param name="Certainty">Probability below which a placement is left to be checked by ear.</param>
/// <param name="TimeZone">Of the place of shooting, by its IANA name ("Europe/Lisbon"); null where times are left as the files have them.</param>
public sealed record DumpSettings(
    ImmutableArray<DeviceRule> Devices = default,
    double Certainty = DumpSettings.UsualCertainty,
    Corrections? Corrections = null,
    TimelineSettings? Timeline = null,
    string? TimeZone = null)
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

    private static DumpSettings Checked(DumpSettings settings, string path)
    {
        string? wrong =
            settings.Devices.Contains(null!) ? "a device is null"
            : settings.Certainty is not (> 0 and < 1) ? "certainty is a probability between 0 and 1"
            : settings.Devices.Any(rule => string.IsNullOrWhiteSpace(rule.Match) || string.IsNullOrWhiteSpace(rule.Name))
                ? "every device needs a match and a name"
            : settings.Devices.Any(rule => rule.DistanceM is not (null or (>= 0 and < 1000)))
                ? "distance_m is metres from talker to camera, 0 to 1000"
            : settings.Devices.Any(rule => rule.PictureOffsetMs is not (null or (>= -1000 and <= 1000)))
                ? "picture_offset_ms is milliseconds by which the sound comes after its picture, -1000 to 1000"
            : settings.TimeZone is { } zone && !TimeZoneInfo.TryFindSystemTimeZoneById(zone, out _)
                ? $"time_zone \"{zone}\" is no zone that this machine knows; write it as \"Europe/Lisbon\""
            : settings.TimeZone is null && settings.Devices.Any(rule => rule.ClockIsLocal)
                ? "clock_is_local needs the time_zone of the place"
            : settings.Corrections.Wrong() ?? settings.Timeline.Wrong();
        return wrong is null ? settings : throw new SettingsException($"{path}: {wrong}. Correct the file, then run again.");
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
    bool ClockIsLocal = false);
