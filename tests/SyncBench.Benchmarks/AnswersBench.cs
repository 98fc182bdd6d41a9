using System.Globalization;
using SyncBench.Benchmarks.Speakers;
using SyncBench.Selection;
using SyncBench.Selection.Speakers;

namespace SyncBench.Benchmarks;

/// <summary>
/// How well it is told who speaks, on rendered interviews (synthetic and human voices, four rooms) whose turns are known.
/// The talks are kept in the user's cache, so only the first run renders.
/// </summary>
internal static class AnswersBench
{
    internal static async Task<int> RunAsync(string[] options)
    {
        if (options is not ([] or ["--quick"] or ["--looked-at"] or ["--show", _]))
        {
            await Console.Error.WriteLineAsync("usage: answers [--quick | --looked-at | --show INTERVIEW]   quick: one interview, one condition");
            return 2;
        }

        string prompts = RecordedPrompt.Folder;
        var renderer = new InterviewRenderer(BenchCache.Folder, Path.GetDirectoryName(prompts)!);
        using var mixer = new Mixer(renderer);
        InterviewPlan[] plans = [.. Interviews.All().Where(plan => options switch
        {
            ["--looked-at"] => !plan.HeldOut,
            ["--show", string name] => plan.Name == name,
            _ => true,
        }).Take(options is ["--quick"] ? 1 : int.MaxValue)];
        Condition[] conditions = [.. Condition.All.Take(options is ["--quick"] ? 1 : int.MaxValue)];
        var scores = new Score[plans.Length][];
        await Parallel.ForEachAsync(Enumerable.Range(0, plans.Length), async (i, _) =>
        {
            Interview interview = await renderer.InterviewAsync(plans[i]);
            scores[i] = [.. conditions.Select(condition =>
            {
                TakeSound take = mixer.Choose(interview, condition);
                Show(options, condition, interview, take.Talk);
                return Score.Of(interview, condition, take);
            })];
        });
        ScorePrinter.Print([.. scores.SelectMany(score => score)], Console.Out);
        return 0;
    }

    private static void Show(string[] options, Condition condition, Interview interview, Talk talk)
    {
        if (options is not ["--show", _])
        {
            return;
        }

        static string At(double seconds) => seconds.ToString("0.00", CultureInfo.InvariantCulture);
        Console.WriteLine($"{condition.Name}: {talk.CannotTell}");
        var lines = new List<(double At, string Line)>();
        lines.AddRange(interview.Script.Turns.Select(turn =>
            (turn.From, $"true {(turn.IsAnswer ? "answer" : "question")} {At(turn.From)} to {At(turn.To)}{(turn.IsRestart ? ", begun again" : "")}")));
        lines.AddRange(talk.Turns.Select(turn => (turn.CommonRange.Start.ToSeconds(),
            $"     told {turn.Kind} {At(turn.CommonRange.Start.ToSeconds())} to {At(turn.CommonRange.End.ToSeconds())}, first words {At(turn.FirstWords.ToSeconds())}{(turn.MayBeRestart ? ", may be a restart" : "")}")));
        foreach ((_, string line) in lines.OrderBy(line => line.At))
        {
            Console.WriteLine(line);
        }
    }
}
