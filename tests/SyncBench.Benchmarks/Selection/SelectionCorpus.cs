using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Selection;

namespace SyncBench.Benchmarks.Selection;

/// <summary>What is rendered. Everything follows from the seeds, so it is the same on every machine.</summary>
internal static class SelectionCorpus
{
    private const double Seconds = 120;

    /// <summary>Kinds of faults that have a beginning and an end, each as often as the others, and in how many ways they come.</summary>
    private static readonly (FaultKind Kind, int Ways, double Shortest, double Longest)[] Kinds =
    [
        (FaultKind.Wind, 1, 1.5, 5), (FaultKind.Rustle, 1, 1.2, 5), (FaultKind.Clipping, 2, 2, 5), (FaultKind.Dropout, 2, 1.1, 3),
        (FaultKind.Silence, 1, 1.1, 4), (FaultKind.Hum, 4, 1.5, 6), (FaultKind.Hiss, 1, 1.5, 6), (FaultKind.Knock, 1, 1.3, 4),
    ];

    private static readonly Point Subject = PairScene.Subject;
    private static readonly Point OnTheChest = new(Subject.X + 0.07, Subject.Y, Subject.Z - 0.24);
    private static readonly Point OnTheCollar = new(Subject.X + 0.05, Subject.Y + 0.06, Subject.Z - 0.17);
    private static readonly Point OnThePole = new(Subject.X + 0.45, Subject.Y, Subject.Z + 0.55);
    private static readonly Point OnTheCamera = new(Subject.X + 1.6, Subject.Y - 0.1, Subject.Z + 0.35);
    private static readonly Point OfTheCamera = new(Subject.X + 2.9, Subject.Y + 0.8, Subject.Z + 0.3);

    /// <summary>Half of the talks have voices and rooms that the other half has not.</summary>
    internal static IReadOnlyList<BasePlan> Bases(bool quick)
    {
        Talker prompts = new("prompts", null);
        Talker[] tuning =
        [
            Synthetic("en-gb+f2", 140, 42), Synthetic("en-us+m1", 150, 40), Synthetic("en-gb-scotland+f3", 145, 55),
            Synthetic("en-029+m7", 135, 30), prompts, prompts,
        ];
        Talker[] heldOut =
        [
            Synthetic("en-us+f4", 150, 60), Synthetic("en-gb+m5", 140, 25), Synthetic("en-gb-x-gbclan+f1", 155, 45),
            Synthetic("en-gb-x-rp+m3", 158, 34), prompts, prompts,
        ];
        Talker asks = Synthetic("en-gb-x-gbcwmd+m4", 150, 38), asksElsewhere = Synthetic("en-us+m6", 150, 50);
        double[] rooms = [0.25, 0.4, 0.6, 0.35, 0.3, 0.5], otherRooms = [0.45, 0.3, 0.55, 0.2, 0.35, 0.5];
        var plans = new List<BasePlan>();
        foreach (bool held in (bool[])[false, true])
        {
            for (int i = 0; i < (quick ? 2 : 6); i++)
            {
                // Of the quick ones, one synthetic and one recorded.
                int talker = quick ? i * 4 : i;
                plans.Add(new BasePlan(
                    $"base-{(held ? "held" : "tuning")}-{talker + 1}", held, (ulong)((held ? 400 : 300) + talker), Seconds,
                    (held ? heldOut : tuning)[talker], held ? asksElsewhere : asks, (held ? otherRooms : rooms)[talker], Mics(talker)));
            }
        }

        return plans;
    }

    /// <summary>Three takes of each talk, in each some sixteen faults, mostly one at a time, on any of the mics.</summary>
    internal static IEnumerable<FaultPlan[]> Faults(BasePlan plan, bool quick)
    {
        for (int take = 0; take < (quick ? 1 : 3); take++)
        {
            var random = new SeededRandom(plan.Seed + ((ulong)take << 20), "faults");
            int[] order = [.. Enumerable.Range(0, 4 * Kinds.Length).OrderBy(_ => random.NextBits())];
            var faults = new List<FaultPlan>();
            double at = random.Between(6, 9);
            foreach (int next in order)
            {
                (FaultKind kind, int ways, double shortest, double longest) = Kinds[next % Kinds.Length];
                double seconds = random.Between(shortest, longest);
                if (at + seconds > plan.Seconds - 4)
                {
                    break;
                }

                faults.Add(new FaultPlan(
                    kind, random.Below(ways), (Strength)random.Below(3), MicFor(kind, plan, random), at, at + seconds, random.NextBits()));
                at += seconds + random.Between(2.5, 4.5);
            }

            yield return [.. faults];
        }
    }

    /// <summary>Takes in which a gain rides one mic after another, and nothing else is wrong.</summary>
    internal static IEnumerable<FaultPlan[]> Pumping(BasePlan plan, bool quick)
    {
        for (int take = 0; take < (quick ? 1 : 3); take++)
        {
            var random = new SeededRandom(plan.Seed + ((ulong)take << 20), "gain");
            var faults = new List<FaultPlan>();
            int mic = random.Below(plan.Mics.Count);
            for (double at = random.Between(5, 15); at < plan.Seconds - 25; at += random.Between(8, 15))
            {
                mic = (mic + 1 + random.Below(plan.Mics.Count - 1)) % plan.Mics.Count;
                double until = Math.Min(plan.Seconds - 4, at + random.Between(18, 40));
                faults.Add(new FaultPlan(
                    FaultKind.Pumping, 0, (Strength)random.Below(3), mic, at, until, random.NextBits()));
                at = until;
            }

            yield return [.. faults];
        }
    }

    /// <summary>Cloth and radio links are the lavaliers' business, the rest is anybody's.</summary>
    private static int MicFor(FaultKind kind, BasePlan plan, SeededRandom random)
    {
        int[] worn = [.. Enumerable.Range(0, plan.Mics.Count).Where(mic => plan.Mics[mic].Role == MicRole.Lavalier)];
        return kind is FaultKind.Rustle or FaultKind.Dropout ? worn[random.Below(worn.Length)] : random.Below(plan.Mics.Count);
    }

    private static MicPlan[] Mics(int talk)
    {
        MicPlan lavalier = new("lavalier", MicRole.Lavalier, OnTheChest, PickupPattern.AllRound, -24, 28 - (2 * (talk % 3)));
        MicPlan shotgun = new("shotgun", MicRole.Shotgun, OnTheCamera, PickupPattern.Supercardioid(Subject), -28, 20 + (talk % 3));
        MicPlan scratch = new("scratch", MicRole.Scratch, OfTheCamera, PickupPattern.AllRound, -32, 12 + (2 * (talk % 2)));
        return (talk % 3) switch
        {
            0 => [lavalier, shotgun, scratch],
            1 => [lavalier, new("boom", MicRole.Boom, OnThePole, PickupPattern.Supercardioid(Subject), -26, 24), scratch],
            _ => [lavalier, new("lavalier-2", MicRole.Lavalier, OnTheCollar, PickupPattern.AllRound, -23, 25), shotgun, scratch],
        };
    }

    private static Talker Synthetic(string model, int wordsPerMinute, int pitch) =>
        new(model, new Voice(model, model, wordsPerMinute, pitch));
}
