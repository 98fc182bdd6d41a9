using System.Globalization;
using SyncBench.Scenes;
using SyncBench.Tests.Support;

namespace SyncBench.Service.Tests;

/// <summary>A few lines of the interview in a recorder and a camera's sound: real files that take a second to sync.</summary>
internal static class SmallDump
{
    private static readonly Lazy<Task<string>> Spoken = new(SpeakAsync);

    /// <summary>Appears in the watched folder at once, by a rename, as a finished copy would.</summary>
    /// <param name="kind">Of the camera's file; ffmpeg reads what is no WAV.</param>
    internal static async Task DropAsync(string watched, string name, string kind = "WAV")
    {
        string voice = await Spoken.Value;
        string making = watched + ".making";
        Directory.CreateDirectory(Path.Combine(making, "RECORDER"));
        File.Copy(voice, Path.Combine(making, "RECORDER", "REC001.WAV"));
        await AddCameraAsync(making, "CAM_A", lateS: 2, kind);
        Directory.Move(making, Path.Combine(watched, name));
    }

    /// <summary>The sound of a further card.</summary>
    internal static async Task AddCameraAsync(string dump, string camera, int lateS, string kind = "WAV")
    {
        Directory.CreateDirectory(Path.Combine(dump, camera));
        await Tool.RunAsync(
            "ffmpeg", "-nostdin", "-v", "error", "-ss", lateS.ToString(CultureInfo.InvariantCulture),
            "-i", await Spoken.Value, Path.Combine(dump, camera, $"A001.{kind}"));
    }

    private static async Task<string> SpeakAsync()
    {
        string folder = Directory.CreateTempSubdirectory("syncbench-voice-").FullName;
        string spoken = Path.Combine(folder, "spoken.wav"), voice = Path.Combine(folder, "voice.wav");
        await Tool.RunAsync("espeak-ng", "-w", spoken, string.Join(' ', Interview.Lines.Take(4).SelectMany(line => line.Sentences)));
        await Tool.RunAsync("ffmpeg", "-nostdin", "-v", "error", "-i", spoken, "-ar", "48000", voice);
        AppDomain.CurrentDomain.ProcessExit += (_, _) => Directory.Delete(folder, recursive: true);
        return voice;
    }
}
