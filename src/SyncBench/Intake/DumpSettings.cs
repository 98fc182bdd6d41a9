using System.Collections.Immutable;
using System.Text.Json;
using System.Text.Json.Serialization;
using SyncBench.Media;

namespace SyncBench.Intake;

/// <summary>What a crew can say of its dump beforehand; all of it optional.</summary>
/// <param name="Devices">Rules, tried in order: the first that matches a file names its device.</param>
/// <param name="Certainty">Probability below which a placement is left to be checked by ear.</param>
public sealed record DumpSettings(
    ImmutableArray<DeviceRule> Devices = default,
    double Certainty = DumpSettings.UsualCertainty,
    Corrections? Corrections = null,
    TimelineSettings? Timeline = null)
{
    public const double UsualCertainty = 0.999;

    private static readonly JsonSerializerOptions Format = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower,
        ReadCommentHandling = JsonCommentHandling.Skip,
        AllowTrailingCommas = true,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectNullableAnnotations = true,
        RespectRequiredConstructorParameters = true,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.SnakeCaseLower, allowIntegerValues: false) },
    };

    public static DumpSettings Usual { get; } = new([]);

    public Corrections Corrections { get; init; } = Corrections ?? Corrections.None;

    public TimelineSettings Timeline { get; init; } = Timeline ?? TimelineSettings.Usual;

    /// <exception cref="SettingsException">The file cannot be read or says something unknown.</exception>
    public static DumpSettings Load(string path)
    {
        try
        {
            using FileStream file = File.OpenRead(path);
            DumpSettings settings = JsonSerializer.Deserialize<DumpSettings>(file, Format) ?? Usual;
            return Checked(Complete(settings), path);
        }
        catch (JsonException wrong)
        {
            string place = wrong.LineNumber is { } line ? $" near line {line + 1}" : string.Empty;
            throw new SettingsException(
                $"{path}: the settings cannot be understood{place} ({FirstSentence(wrong.Message)}). Correct the file, then run again.");
        }
        catch (Exception missing) when (missing is IOException or UnauthorizedAccessException)
        {
            throw new SettingsException($"{path}: the settings file cannot be read. Check its path and permissions.");
        }
    }

    private static DumpSettings Complete(DumpSettings settings) => settings with
    {
        Devices = settings.Devices.IsDefault ? [] : settings.Devices,
        Corrections = settings.Corrections.Mics.IsDefault ? Corrections.None : settings.Corrections,
    };

    private static DumpSettings Checked(DumpSettings settings, string path)
    {
        string? wrong =
            settings.Certainty is not (> 0 and < 1) ? "certainty is a probability between 0 and 1"
            : settings.Devices.Any(rule => string.IsNullOrWhiteSpace(rule.Match) || string.IsNullOrWhiteSpace(rule.Name))
                ? "every device needs a match and a name"
            : settings.Devices.Any(rule => rule.DistanceM is not (null or (>= 0 and < 1000)))
                ? "distance_m is metres from talker to camera, 0 to 1000"
            : settings.Devices.Any(rule => rule.PictureOffsetMs is not (null or (>= -1000 and <= 1000)))
                ? "picture_offset_ms is milliseconds by which the sound comes after its picture, -1000 to 1000"
            : settings.Corrections.Wrong() ?? settings.Timeline.Wrong();
        return wrong is null ? settings : throw new SettingsException($"{path}: {wrong}. Correct the file, then run again.");
    }

    /// <summary>In one line: the framework quotes what it did not understand, control characters and all.</summary>
    private static string FirstSentence(string message)
    {
        const int Longest = 200;
        string sentence = message.Split(". ")[0].TrimEnd('.');
        sentence = string.Concat(sentence.Select(c => char.IsControl(c) ? '?' : c));
        return sentence.Length > Longest ? sentence[..Longest] + "…" : sentence;
    }
}

/// <summary>One rule of the settings.</summary>
/// <param name="Match">Glob on the path inside the dump: "CAM_A/**", "*.WAV".</param>
/// <param name="Mics">What each channel is, in order; channels beyond the list keep the usual role.</param>
/// <param name="DistanceM">Talker to camera in metres.</param>
/// <param name="PictureOffsetMs">Milliseconds by which the camera's sound is late against its own picture.</param>
public sealed record DeviceRule(
    string Match,
    string Name,
    string? Angle = null,
    ImmutableArray<MicRole> Mics = default,
    double? DistanceM = null,
    double? PictureOffsetMs = null);
