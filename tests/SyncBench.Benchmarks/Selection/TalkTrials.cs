using SyncBench.Selection;

namespace SyncBench.Benchmarks.Selection;

/// <summary>All trials of one talk.</summary>
internal sealed record TalkTrials(IReadOnlyList<FaultScore> Scores, ChoiceTrials Choices, RoomTrials Rooms)
{
    internal static async Task<TalkTrials> RunAsync(BasePlan plan, bool quick)
    {
        TalkBase talk = await new TalkBaseRenderer(BenchCache.Folder).RenderAsync(plan);
        var mixer = new SceneMixer(talk);
        var scores = new List<FaultScore>();
        var choices = new ChoiceTrials();
        var rooms = new RoomTrials();
        foreach (FaultPlan[] faults in SelectionCorpus.Faults(plan, quick).Concat(SelectionCorpus.Pumping(plan, quick)))
        {
            float[][] sounds = mixer.Mix(faults, out List<InjectedFault> injected);
            TakeSound chosen = new BenchTake(plan.Mics, sounds).Choose();
            string scene = $"{plan.Name}.{scores.Count + 1}";
            scores.Add(FaultScore.Of(scene, chosen, plan.Mics, injected));
            choices.Judge(scene, chosen, talk, injected);
            rooms.Judge(chosen, talk);
        }

        choices.Run(mixer);
        return new TalkTrials(scores, choices, rooms);
    }
}
