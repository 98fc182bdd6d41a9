using System.Globalization;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Service;

/// <summary>A recorder and two cameras at one conversation, as files: dropped by a rename, as a finished copy would come.</summary>
internal sealed class DropDump(string folder)
{
    /// <param name="times">How often the lines are spoken, each time faster: the very same sound twice would have two places.</param>
    internal static async Task<DropDump> MakeAsync(string folder, int times)
    {
        string spoken = Path.Combine(folder, "spoken.wav"), dump = Path.Combine(folder, "dump");
        string[] parts = [.. Enumerable.Range(0, times).Select(i => Path.Combine(folder, string.Create(CultureInfo.InvariantCulture, $"spoken{i}.wav")))];
        for (int i = 0; i < times; i++)
        {
            string wordsAMinute = (150 + (20 * i)).ToString(CultureInfo.InvariantCulture);
            await ToolAsync("espeak-ng", "-s", wordsAMinute, "-w", parts[i], string.Join(' ', Interview.Lines.SelectMany(line => line.Sentences)));
        }

        string join = string.Create(CultureInfo.InvariantCulture, $"concat=n={times}:v=0:a=1");
        await ToolAsync("ffmpeg", ["-nostdin", "-v", "error", .. parts.SelectMany(part => new[] { "-i", part }), "-filter_complex", join, spoken]);
        string[] sound = ["-nostdin", "-v", "error", "-i", spoken];
        string[] picture = ["-f", "lavfi", "-i", "testsrc2=s=64x64:r=25", "-shortest", "-ar", "48000", "-c:a", "pcm_s16le"];
        foreach (string device in new[] { "RECORDER", "CAM_A", "CAM_B" })
        {
            Directory.CreateDirectory(Path.Combine(dump, device));
        }

        await ToolAsync("ffmpeg", [.. sound, "-ar", "48000", Path.Combine(dump, "RECORDER", "REC001.WAV")]);
        await ToolAsync("ffmpeg", [.. sound, .. picture, "-ss", "2", Path.Combine(dump, "CAM_A", "A001.MOV")]);
        await ToolAsync("ffmpeg", [.. sound, .. picture, "-ss", "5", Path.Combine(dump, "CAM_B", "B001.MOV")]);
        return new DropDump(dump);
    }

    internal void Into(string home, string name)
    {
        string making = Path.Combine(home, "making");
        foreach (string file in Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories))
        {
            string to = Path.Combine(making, Path.GetRelativePath(folder, file));
            Directory.CreateDirectory(Path.GetDirectoryName(to)!);
            File.Copy(file, to); // with its time
        }

        Directory.CreateDirectory(Path.Combine(home, "drop"));
        Directory.Move(making, Path.Combine(home, "drop", name));
    }

    private static Task<byte[]> ToolAsync(string program, params string[] arguments) =>
        ExternalTool.RunAsync(program, arguments, feed: null, CancellationToken.None);
}
