using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Selection;

/// <summary>Who speaks in a rendering: a voice of the synthesiser, or recorded human prompts.</summary>
/// <param name="Name">Of the voice, or of the folder of prompts.</param>
/// <param name="Voice">Null for recorded prompts.</param>
/// <param name="Part">Of the prompts every so-manieth, so that no recording is in two parts.</param>
internal sealed record Talker(string Name, Voice? Voice, int Part = 0, int Parts = 1)
{
    /// <summary>Prompts of 1.5 to 8 s.</summary>
    private const long ShortestPrompt = 3 * RecordedPrompt.BytesASecond / 2, LongestPrompt = 8 * RecordedPrompt.BytesASecond;

    internal static Talker OfPrompts(string folder, int part, int parts) => new(folder, null, part, parts);

    /// <summary>Sentences without end.</summary>
    internal async Task<float[]> SayAsync(SeededRandom random)
    {
        if (Voice is not null)
        {
            return await Voice.SayAsync(SmallTalk.Sentence(random));
        }

        string[] prompts = Prompts();
        return await RecordedPrompt.ReadAsync(prompts[(Parts * random.Below(prompts.Length / Parts)) + Part]);
    }

    private string[] Prompts()
    {
        string folder = Path.Combine(Path.GetDirectoryName(RecordedPrompt.Folder)!, Name);
        return
        [
            .. new DirectoryInfo(folder).GetFiles("*.g722")
                .Where(file => file.Length is >= ShortestPrompt and <= LongestPrompt)
                .Select(file => file.FullName).Order(StringComparer.Ordinal),
        ];
    }
}
