namespace SyncBench.Scenes;

/// <summary>A sentence with the instants of true time, in samples of the grid, between which it is spoken.</summary>
public sealed record SpokenSentence(Line Line, string Words, int Start, float[] Samples)
{
    public int End => Start + Samples.Length;
}

/// <summary>A stretch in which one speaker has the word. An interjection does not end the other's turn.</summary>
public sealed record SpokenTurn(Part Part, Speaker Speaker, bool IsInterjection, int Start, int End);

/// <summary>The lines laid out in time, with the pauses that people make.</summary>
public sealed record Rehearsal(IReadOnlyList<SpokenSentence> Sentences, IReadOnlyList<SpokenTurn> Turns)
{
    /// <param name="firstWordSeconds">True time of the first word.</param>
    /// <param name="breakSeconds">From the last word of take one to the first of take two.</param>
    public static async Task<Rehearsal> OfAsync(
        IReadOnlyList<Line> lines, double firstWordSeconds, double breakSeconds, ulong seed)
    {
        float[][][] spoken = await Task.WhenAll(lines.Select(line => Task.WhenAll(line.Sentences.Select(
            (line.Speaker == Speaker.Subject ? Voice.Ines : Voice.Tom).SayAsync))));
        var random = new SeededRandom(seed, "pauses");
        int Pause(double low, double high) => (int)(random.Between(low, high) * Air.SampleRateHz);

        var sentences = new List<SpokenSentence>();
        var turns = new List<SpokenTurn>();
        int free = (int)(firstWordSeconds * Air.SampleRateHz); // when nobody speaks any more
        int takeOneEnd = free;
        for (int i = 0; i < lines.Count; i++)
        {
            Line line = lines[i];
            int at = (i == 0, line.Delivery) switch
            {
                (true, _) => free,
                (_, Delivery.Interjection) => free - Pause(0.05, 0.2), // listeners come in a little early
                (_, Delivery.GoesOn) => free + Pause(0.15, 0.35),
                _ => free + Pause(0.6, 1.2),
            };
            if (line.Part == Part.TakeTwo && turns[^1].Part != Part.TakeTwo)
            {
                at = Math.Max(at, takeOneEnd + (int)(breakSeconds * Air.SampleRateHz));
            }
            else if (line.Part == Part.Break && turns[^1].Part == Part.TakeOne)
            {
                at += 5 * Air.SampleRateHz; // the cameras have stopped by then
            }

            int start = at;
            for (int s = 0; s < spoken[i].Length; s++)
            {
                at += s == 0 ? 0 : Pause(0.35, 0.85);
                sentences.Add(new SpokenSentence(line, line.Sentences[s], at, spoken[i][s]));
                at += spoken[i][s].Length;
            }

            free = at;
            takeOneEnd = line.Part == Part.TakeOne ? at : takeOneEnd;
            if (line.Delivery == Delivery.GoesOn)
            {
                int last = turns.FindLastIndex(turn => turn.Speaker == line.Speaker && !turn.IsInterjection);
                turns[last] = turns[last] with { End = at };
            }
            else
            {
                turns.Add(new SpokenTurn(
                    line.Part, line.Speaker, line.Delivery == Delivery.Interjection, start, at));
            }
        }

        return new Rehearsal(sentences, turns);
    }
}
