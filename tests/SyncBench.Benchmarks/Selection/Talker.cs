using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Selection;

/// <summary>Who speaks in a rendering: a voice of the synthesiser, or recorded human prompts.</summary>
/// <param name="Voice">Null for the recorded prompts.</param>
internal sealed record Talker(string Name, Voice? Voice)
{
    /// <summary>Prompts of 1.5 to 8 s.</summary>
    private const long ShortestPrompt = 3 * RecordedPrompt.BytesASecond / 2, LongestPrompt = 8 * RecordedPrompt.BytesASecond;

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
        return await RecordedPrompt.ReadAsync(prompts[(2 * random.Below(prompts.Length / 2)) + part]);
    }

    private static string[] Prompts()
    {
        string folder = RecordedPrompt.Folder;
        return
        [
            .. new DirectoryInfo(folder).GetFiles("*.g722")
                .Where(file => file.Length is >= ShortestPrompt and <= LongestPrompt)
                .Select(file => file.FullName).Order(StringComparer.Ordinal),
        ];
    }
}
