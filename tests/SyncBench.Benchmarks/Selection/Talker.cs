using System.Runtime.InteropServices;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Selection;

/// <summary>Who speaks in a rendering: a voice of the synthesiser, or recorded human prompts.</summary>
/// <param name="Voice">Null for the recorded prompts.</param>
internal sealed record Talker(string Name, Voice? Voice)
{
    /// <summary>
    /// Folder of the prompts of Debian's package asterisk-core-sounds-en-g722 (one woman, 16 kHz, Creative Commons BY-SA 3.0),
    /// which scripts/bench installs; nothing of it is kept in the repository.
    /// </summary>
    internal const string PromptsVariable = "SYNCBENCH_PROMPTS";

    /// <summary>A second of G.722 is 8,000 bytes: prompts of 1.5 to 8 s.</summary>
    private const long ShortestPrompt = 12_000, LongestPrompt = 64_000;

    /// <summary>
    /// Sentences without end. Each is said 3 % faster or slower, so that the synthesiser never says the same samples twice.
    /// </summary>
    /// <param name="part">Of the prompts, every second belongs to one part: 0 or 1.</param>
    internal async Task<float[]> SayAsync(SeededRandom random, int part)
    {
        if (Voice is not null)
        {
            return await Voice.SayAsync(SmallTalk.Sentence(random));
        }

        string[] prompts = Prompts();
        string file = prompts[(2 * random.Below(prompts.Length / 2)) + part];
        byte[] decoded = await ExternalTool.RunAsync(
            "ffmpeg", ["-v", "error", "-f", "g722", "-i", file, "-ar", $"{Air.SampleRateHz}", "-f", "f32le", "pipe:1"],
            feed: null, CancellationToken.None);
        float[] said = MemoryMarshal.Cast<byte, float>(decoded).ToArray();
        int first = Array.FindIndex(said, x => MathF.Abs(x) > 0.01f), last = Array.FindLastIndex(said, x => MathF.Abs(x) > 0.01f);
        said = said[first..(last + 1)];
        float gain = 0.1f / (float)Math.Sqrt(said.Average(x => (double)x * x));
        return Array.ConvertAll(said, x => x * gain);
    }

    private static string[] Prompts()
    {
        string folder = Environment.GetEnvironmentVariable(PromptsVariable)
            ?? throw new InvalidOperationException($"{PromptsVariable} names no folder of prompts: run scripts/bench selection.");
        return
        [
            .. new DirectoryInfo(folder).GetFiles("*.g722")
                .Where(file => file.Length is >= ShortestPrompt and <= LongestPrompt)
                .Select(file => file.FullName).Order(StringComparer.Ordinal),
        ];
    }
}
