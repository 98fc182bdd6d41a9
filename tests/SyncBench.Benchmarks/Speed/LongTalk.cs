using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Speed;

/// <summary>A sentence of a long talk.</summary>
/// <param name="Start">Sample of true time at which the mouth begins.</param>
internal sealed record Spoken(bool IsSubject, long Start, float[] Words, double Speed)
{
    internal long End => Start + (long)(Words.Length / Speed) + 1;

    internal float[] Samples() => Tempo.Said(Words, Speed);
}

/// <summary>Questions and answers without end. Sentences come again after a while, never at the same tempo.</summary>
internal static class LongTalk
{
    private const int AnswersKnown = 600;
    private const int QuestionsKnown = 150;
    private const double TempoSpread = 0.06;

    internal static async Task<IReadOnlyList<Spoken>> OfAsync(double seconds, ulong seed)
    {
        var words = new SeededRandom(seed, "words");
        int known = (int)Math.Min(AnswersKnown, 10 + (seconds / 2));
        float[][] answers = await SayAsync(Voice.Ines, [.. Enumerable.Range(0, known).Select(_ => SmallTalk.Sentence(words))]);
        float[][] questions = await SayAsync(
            Voice.Tom, [.. Enumerable.Range(0, Math.Min(known, QuestionsKnown)).Select(_ => SmallTalk.Question(words))]);
        var order = new SeededRandom(seed, "order");
        var talk = new List<Spoken>();
        long at = Air.SampleRateHz / 2, end = (long)((seconds + 1) * Air.SampleRateHz);
        void Say(bool isSubject, float[][] from, double pauseLow, double pauseHigh)
        {
            var next = new Spoken(
                isSubject, at, from[order.Below(from.Length)], 1 + order.Between(-TempoSpread, TempoSpread));
            talk.Add(next);
            at = next.End + (long)(order.Between(pauseLow, pauseHigh) * Air.SampleRateHz);
        }

        while (at < end)
        {
            Say(isSubject: false, questions, 0.6, 1.2);
            int sentences = 2 + order.Below(4);
            for (int i = 0; i < sentences; i++)
            {
                Say(isSubject: true, answers, 0.35, i == sentences - 1 ? 1.2 : 0.85);
            }
        }

        return talk;
    }

    private static async Task<float[][]> SayAsync(Voice voice, string[] sentences)
    {
        var said = new float[sentences.Length][];
        await Parallel.ForEachAsync(
            Enumerable.Range(0, sentences.Length),
            new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount },
            async (i, _) => said[i] = await voice.SayAsync(sentences[i]));
        return said;
    }
}
