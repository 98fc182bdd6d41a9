using System.Text.Encodings.Web;
using System.Text.Json;

namespace SyncBench.Scenes;

/// <summary>What is true of a made dump. Written beside the dump, for tests and for people; no program under test reads it.</summary>
/// <param name="Notes">What the numbers mean, formula by formula.</param>
public sealed record Truth(
    string Dump,
    string MadeBy,
    IReadOnlyList<string> Notes,
    double SpeedOfSoundMS,
    double RoomRt60S,
    IReadOnlyList<TrueDevice> Devices,
    IReadOnlyList<TrueMic> Mics,
    IReadOnlyList<TrueFile> Files,
    IReadOnlyList<TrueTake> Takes,
    IReadOnlyList<TrueFault> Faults,
    IReadOnlyList<TrueTurn> Turns)
{
    private static readonly JsonSerializerOptions Json = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower,
        WriteIndented = true,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping, // the file is read by people, never by a browser
    };

    public static async Task<Truth> ReadAsync(string path, CancellationToken cancel = default)
    {
        await using FileStream file = File.OpenRead(path);
        return await JsonSerializer.DeserializeAsync<Truth>(file, Json, cancel)
            ?? throw new InvalidDataException($"{path} holds no truth.");
    }

    public async Task WriteAsync(string path, CancellationToken cancel = default)
    {
        await using FileStream file = File.Create(path);
        await JsonSerializer.SerializeAsync(file, this, Json, cancel);
    }
}

/// <param name="PpmTrue">A second of the device is (1 + ppm·10⁻⁶) true seconds.</param>
/// <param name="RatePpm">A second of the device is (1 + ppm·10⁻⁶) seconds of the recorder.</param>
/// <param name="ClockErrorS">How far its time of day is fast (what it writes into files less the truth).</param>
public sealed record TrueDevice(string Name, double PpmTrue, double RatePpm, double ClockErrorS);

/// <param name="Channel">0-based in the device's files.</param>
/// <param name="SubjectM">Subject's mouth to the mic.</param>
/// <param name="InterviewerM">Interviewer's mouth to the mic.</param>
/// <param name="SnrDb">Subject's speech over noise in 200 to 7500 Hz, outside faults.</param>
public sealed record TrueMic(string Device, int Channel, string Mic, double SubjectM, double InterviewerM, double SnrDb);

/// <param name="Kind">interview, b-roll, not media.</param>
/// <param name="StartTrueS">True time of the first frame and first sample; the scene begins at 0.</param>
/// <param name="StartRecorderS">The same instant in seconds after recorder sample 0, by the recorder's clock.</param>
/// <param name="DurationS">On the file's own clock.</param>
/// <param name="SoundAlignedStartS">Where lining up the subject's voice puts the start; see the notes.</param>
public sealed record TrueFile(
    string File, string? Device, string Kind, double? StartTrueS, double? StartRecorderS, double? DurationS,
    double? RatePpm, double? SoundAlignedStartS);

/// <param name="StartS">On the recorder's clock, from when a camera and the recorder roll together.</param>
public sealed record TrueTake(string Name, double StartS, double EndS, IReadOnlyList<string> Files);

/// <param name="StartS">On the recorder's clock.</param>
public sealed record TrueFault(string Kind, string Device, int Channel, string Mic, double StartS, double EndS);

/// <param name="StartS">On the recorder's clock, as heard at the lavalier.</param>
/// <param name="Part">take 1, break (cameras off) or take 2.</param>
public sealed record TrueTurn(string Speaker, string Part, bool Interjection, double StartS, double EndS);
