using SyncBench.Selection;
using SyncBench.Selection.Speakers;
using SyncBench.Time;

namespace SyncBench.Benchmarks.Speakers;

/// <summary>What was told of a talk against what is true.</summary>
/// <param name="Confusion">Steps of 10 ms, [true][told], in the order of <see cref="Speaking"/>.</param>
/// <param name="EdgeSeconds">Told less true, of both ends of every turn that was found.</param>
/// <param name="Faults">Faults that were found, though no mic has any.</param>
/// <param name="Turns">True turns.</param>
/// <param name="Missed">Of them, those that no turn of the kind overlaps.</param>
/// <param name="Invented">Told turns that overlap no true one of the kind, or one that another fits better.</param>
internal sealed record Score(
    string Interview, string Condition, bool HeldOut, bool IsAsked, long[][] Confusion, IReadOnlyList<double> EdgeSeconds,
    int Faults, int Turns, int Missed, int Invented, int Restarts, int RestartsTold, int RestartsRight)
{
    private const double Step = 0.01;

    internal static Score Of(Interview interview, Condition condition, TakeSound take)
    {
        Talk talk = take.Talk;
        Script script = interview.Script;
        double until = condition.AsksUntil(script);
        IReadOnlyList<Stretch> asks = [.. script.Interviewer.Where(asks => asks.From < until)];
        ScriptedTurn[] turns = [.. script.Turns.Where(turn => turn.IsAnswer || turn.From < until)];
        int steps = (int)(script.Turns.Max(turn => turn.To) / Step) + 100;
        var (truth, told) = (new int[steps], new int[steps]);
        Mark(truth, script.Subject, (int)Speaking.Subject);
        Mark(truth, asks, (int)Speaking.Interviewer);
        foreach (SpeechStretch stretch in talk.Stretches)
        {
            Mark(told, [Seconds(stretch.CommonRange)], (int)stretch.Who);
        }

        long[][] confusion = [.. Enumerable.Range(0, 4).Select(_ => new long[4])];
        for (int step = 0; step < steps; step++)
        {
            confusion[truth[step]][told[step]]++;
        }

        var edges = new List<double>();
        var taken = new HashSet<Turn>();
        int missed = 0, restartsRight = 0;
        foreach (ScriptedTurn turn in turns)
        {
            Turn? found = talk.Turns.Where(t => t.Kind == TurnKind.Answer == turn.IsAnswer && Shared(t, turn) > 0 && !taken.Contains(t))
                .MaxBy(t => Shared(t, turn));
            if (found is null)
            {
                missed++;
                continue;
            }

            taken.Add(found);
            Stretch range = Seconds(found.CommonRange);
            edges.Add(range.From - turn.From);
            edges.Add(range.To - turn.To);
            restartsRight += turn.IsRestart && found.MayBeRestart ? 1 : 0;
        }

        return new Score(
            interview.Plan.Name, condition.Name, interview.Plan.HeldOut, condition.IsAsked, confusion, edges, take.Faults.Length, turns.Length, missed,
            talk.Turns.Length - taken.Count, turns.Count(turn => turn.IsRestart), talk.Turns.Count(turn => turn.MayBeRestart), restartsRight);
    }

    private static Stretch Seconds(TimeRange range) => new(range.Start.ToSeconds(), range.End.ToSeconds());

    private static double Shared(Turn told, ScriptedTurn turn)
    {
        Stretch range = Seconds(told.CommonRange);
        return Math.Min(range.To, turn.To) - Math.Max(range.From, turn.From);
    }

    private static void Mark(int[] steps, IEnumerable<Stretch> stretches, int who)
    {
        foreach (Stretch stretch in stretches)
        {
            for (int step = Math.Max(0, (int)Math.Round(stretch.From / Step)); step < Math.Min(steps.Length, Math.Round(stretch.To / Step)); step++)
            {
                steps[step] |= who;
            }
        }
    }
}
