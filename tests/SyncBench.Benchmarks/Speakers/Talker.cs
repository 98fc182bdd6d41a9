using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Speakers;

/// <summary>Somebody who can say sentence after sentence.</summary>
internal abstract class Talker
{
    /// <summary>The next sentence at <see cref="Air.SampleRateHz"/>, root mean square 0.1, silent ends cut off.</summary>
    internal abstract Task<float[]> SayAsync(bool asks, SeededRandom random);

    /// <summary>A word of a listener, or what one says before the words come.</summary>
    internal abstract Task<float[]> MurmurAsync(SeededRandom random);

    /// <summary>The beginning of a sentence that is not said to its end.</summary>
    internal async Task<float[]> BreakOffAsync(SeededRandom random)
    {
        float[] sentence = await SayAsync(asks: false, random);
        int length = Math.Min(sentence.Length, (int)(random.Between(0.9, 2) * Air.SampleRateHz));
        float[] begun = sentence[..length];
        int fade = Math.Min(length, Air.SampleRateHz / 20);
        for (int i = 0; i < fade; i++)
        {
            begun[^(i + 1)] *= (float)i / fade;
        }

        return begun;
    }
}

/// <summary>A synthetic voice (espeak-ng) that makes small talk.</summary>
internal sealed class SyntheticTalker(string model, int wordsPerMinute, int pitch) : Talker
{
    private static readonly string[] Murmurs = ["Um.", "Well.", "Right.", "Mm, really?", "Ha ha ha.", "Oh yes."];

    private readonly Voice _voice = new(model, model, wordsPerMinute, pitch);

    internal override Task<float[]> SayAsync(bool asks, SeededRandom random) =>
        _voice.SayAsync(asks ? SmallTalk.Question(random) : SmallTalk.Sentence(random));

    internal override Task<float[]> MurmurAsync(SeededRandom random) => _voice.SayAsync(Murmurs[random.Below(Murmurs.Length)]);
}

/// <summary>A human voice, sentence by sentence: <see cref="RecordedPrompt"/>.</summary>
/// <param name="folder">Of one voice: en_US_f_Allison, ...</param>
internal sealed class HumanTalker(string folder) : Talker
{
    private readonly string[] _sentences = Files(folder, 1.2, 9), _murmurs = Files(folder, 0.35, 0.8);

    internal override Task<float[]> SayAsync(bool asks, SeededRandom random) => RecordedPrompt.ReadAsync(_sentences[random.Below(_sentences.Length)]);

    internal override Task<float[]> MurmurAsync(SeededRandom random) => RecordedPrompt.ReadAsync(_murmurs[random.Below(_murmurs.Length)]);

    private static string[] Files(string folder, double shortest, double longest) =>
    [
        .. Directory.EnumerateFiles(folder, "*.g722", SearchOption.AllDirectories)
            .Where(file => new FileInfo(file).Length is { } bytes && bytes >= shortest * RecordedPrompt.BytesASecond && bytes <= longest * RecordedPrompt.BytesASecond)
            .Where(file => !file.Contains("beep", StringComparison.Ordinal) && !file.Contains("silence", StringComparison.Ordinal)
                && !file.Contains("tone", StringComparison.Ordinal))
            .Order(StringComparer.Ordinal),
    ];
}
