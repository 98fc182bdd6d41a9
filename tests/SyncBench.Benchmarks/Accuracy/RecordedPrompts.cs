using System.Collections.Concurrent;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>
/// The prompts of one voice of Debian's packages asterisk-core-sounds-{en,es,fr,it,ru}-g722: Allison Smith (English, Spanish),
/// June Wallack (French), Carlo Flora (Italian) under CC BY-SA 3.0, Maxim Topal's (Russian) under CC BY 3.0.
/// </summary>
internal static class RecordedPrompts
{
    internal const string English = "en_US_f_Allison", French = "fr_CA_f_June", Italian = "it_IT_m_Carlo",
        Russian = "ru_RU_f_IvrvoiceRU", Spanish = "es_MX_f_Allison";

    /// <summary>Shorter ones are single letters and digits.</summary>
    private const long Shortest = 9 * RecordedPrompt.BytesASecond / 10;

    private static readonly ConcurrentDictionary<string, Lazy<Task<IReadOnlyList<float[]>>>> Read = new();

    /// <summary>Every so-manieth prompt of a voice, in an order of the seed. No recording is in two parts.</summary>
    internal static async Task<IReadOnlyList<float[]>> OfAsync(string voice, int part, int parts, ulong seed)
    {
        IReadOnlyList<float[]> all =
            await Read.GetOrAdd(voice, name => new Lazy<Task<IReadOnlyList<float[]>>>(() => ReadAsync(name))).Value;
        var random = new SeededRandom(seed, voice);
        return [.. all.Where((_, i) => i % parts == part).OrderBy(_ => random.NextBits())];
    }

    private static async Task<IReadOnlyList<float[]>> ReadAsync(string voice)
    {
        string folder = Path.Combine(Path.GetDirectoryName(RecordedPrompt.Folder)!, voice);
        string[] files =
        [
            .. Directory.EnumerateFiles(folder, "*.g722").Where(file => new FileInfo(file).Length >= Shortest)
                .Order(StringComparer.Ordinal),
        ];
        var prompts = new float[files.Length][];
        await Parallel.ForAsync(0, files.Length, async (i, _) => prompts[i] = await RecordedPrompt.ReadAsync(files[i]));
        bool[] isTwin = RecordedTwins.OfEarlier(prompts);
        return [.. prompts.Where((_, i) => !isTwin[i])];
    }
}
