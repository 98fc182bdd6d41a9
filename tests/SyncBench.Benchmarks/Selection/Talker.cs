using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Selection;

/// <summary>Who speaks in a rendering: a voice of the synthesiser, or recorded human prompts.</summary>
/// <param name="Name">Of the voice, or of the folder of prompts.</param>
/// <param name="Voice">Null for recorded prompts.</param>
/// <param name="Part">Of the prompts every so-manieth, so that no recording is in two parts.</param>
/// <param name="Strung">Whether sentences are strung together from the prompts that are too short to be one.</param>
internal sealed record Talker(string Name, Voice? Voice, int Part = 0, int Parts = 1, bool Strung = false)
{
    /// <summary>Prompts of 0.8, 1.5 and 8 s.</summary>
    private const long ShortestWord = 4 * RecordedPrompt.BytesASecond / 5, ShortestPrompt = 3 * RecordedPrompt.BytesASecond / 2,
        LongestPrompt = 8 * RecordedPrompt.BytesASecond;

    internal static Talker OfPrompts(string folder, int part, int parts) => new(folder, null, part, parts);

    /// <summary>Names, numbers and short notices: none of them is said by <see cref="OfPrompts"/>.</summary>
    internal static Talker OfShortPrompts(string folder) => new(folder, null, Strung: true);

    /// <summary>Sentences without end.</summary>
    internal async Task<float[]> SayAsync(SeededRandom random)
    {
        if (Voice is not null)
        {
            return await Voice.SayAsync(SmallTalk.Sentence(random));
        }

        return Strung ? await StringAsync(random) : await PromptAsync(Prompts(ShortestPrompt, LongestPrompt), random);
    }

    /// <summary>Two to four prompts with hardly a breath between them.</summary>
    private async Task<float[]> StringAsync(SeededRandom random)
    {
        string[] words = Prompts(ShortestWord, ShortestPrompt - 1);
        float[] said = await PromptAsync(words, random);
        for (int more = 1 + random.Below(3); more > 0; more--)
        {
            said = [.. said, .. new float[(int)(random.Between(0.05, 0.2) * Air.SampleRateHz)], .. await PromptAsync(words, random)];
        }

        return said;
    }

    private Task<float[]> PromptAsync(string[] prompts, SeededRandom random) =>
        RecordedPrompt.ReadAsync(prompts[(Parts * random.Below(prompts.Length / Parts)) + Part]);

    private string[] Prompts(long shortest, long longest) =>
    [
        .. new DirectoryInfo(Path.Combine(Path.GetDirectoryName(RecordedPrompt.Folder)!, Name))
            .GetFiles("*.g722", Strung ? SearchOption.AllDirectories : SearchOption.TopDirectoryOnly)
            .Where(file => file.Length >= shortest && file.Length <= longest && file.Directory!.Name != "silence")
            .Select(file => file.FullName).Order(StringComparer.Ordinal),
    ];
}
