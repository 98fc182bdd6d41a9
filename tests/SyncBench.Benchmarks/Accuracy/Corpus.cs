namespace SyncBench.Benchmarks.Accuracy;

/// <summary>What is rendered. Everything follows from the seeds, so it is the same on every machine.</summary>
internal static class Corpus
{
    private const double LongRoom = 0.4;
    private const double Tempo = 0.03;

    private static readonly double[] Rooms = [0.2, 0.4, 0.8];

    /// <summary>By room: distances at which reverberation is about 6 and 12 dB above the direct sound, or as far as the room goes.</summary>
    private static readonly double[][] Distances = [[3.1, 5.3], [2.2, 4.4], [1.5, 3.1]];

    private static readonly ClipPlan[] Clips =
    [
        new(2), new(2), new(5), new(5), new(10), new(10), new(10), new(10), new(30), new(30), new(60), new(60),
        new(30, 44_100), new(30, 96_000), new(30, Aac: true),
    ];

    internal static IReadOnlyList<TalkPlan> Plans(bool quick)
    {
        var plans = new List<TalkPlan>();
        for (int seed = 1; seed <= (quick ? 1 : 4); seed++)
        {
            for (int room = 0; room < Rooms.Length; room++)
            {
                plans.Add(new TalkPlan(
                    $"talk-{Rooms[room] * 10:0}-{seed}", (ulong)((10 * room) + seed), 300 + (30 * seed), Rooms[room],
                    SwayMetres: 0, Strangers: false, Distances[room], Clips)
                {
                    TempoSpread = Tempo,
                });
            }
        }

        for (int seed = 1; seed <= (quick ? 1 : 6); seed++)
        {
            plans.Add(new TalkPlan(
                $"strangers-{seed}", (ulong)(200 + seed), 150, Rooms[seed % 3], SwayMetres: 0, Strangers: true, [2.5],
                [new(5), new(10), new(20), new(40), new(60)])
            {
                TempoSpread = Tempo,
            });
        }

        for (int seed = 1; seed <= (quick ? 0 : 3); seed++)
        {
            plans.Add(Long($"still-{seed}", 100 + seed, swayMetres: 0));
            plans.Add(Long($"moving-{seed}", 110 + seed, swayMetres: 0.1));
        }

        return plans;
    }

    /// <summary>Only ever held against its own recorder, so that it may repeat itself.</summary>
    private static TalkPlan Long(string name, int seed, double swayMetres) => new(
        name, (ulong)seed, 1210, LongRoom, swayMetres, Strangers: false, [2.5], [new(1205)]);
}
