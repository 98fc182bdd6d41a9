namespace SyncBench.Benchmarks.Accuracy;

/// <summary>What is rendered. Everything follows from the seeds, so it is the same on every machine.</summary>
internal static class Corpus
{
    private const double LongRoom = 0.4;

    private static readonly double[] Rooms = [0.2, 0.4, 0.8];

    /// <summary>By room: distances at which reverberation is about 6 and 12 dB above the direct sound, or as far as the room goes.</summary>
    private static readonly double[][] Distances = [[3.1, 5.3], [2.2, 4.4], [1.5, 3.1]];

    private static readonly ClipPlan[] Clips =
    [
        new(2), new(2), new(5), new(5), new(10), new(10), new(10), new(10), new(30), new(30), new(60), new(60),
        new(30, 44_100), new(30, 96_000), new(30, Aac: true),
    ];

    private static readonly ClipPlan[] ShortClips =
        [.. Many(4, new(2)), .. Many(4, new(5)), .. Many(16, new(10))];

    private static readonly PromptCast[] Casts =
    [
        new(RecordedPrompts.English, RecordedPrompts.Italian, 0, 2), new(RecordedPrompts.English, RecordedPrompts.Italian, 1, 2),
        new(RecordedPrompts.French, RecordedPrompts.Italian, 0, 2), new(RecordedPrompts.French, RecordedPrompts.Italian, 1, 2),
    ];

    internal static IReadOnlyList<TalkPlan> Plans(bool quick) =>
    [
        .. Talks(quick ? 1 : 4),
        .. Shorts(quick ? 1 : 6),
        .. Noisy(quick ? 1 : 3),
        .. People(quick ? 2 : 4),
        .. Far(quick ? 1 : 12),
        .. Strangers(quick ? 1 : 6),
        .. quick ? [] : Long(),
    ];

    private static IEnumerable<TalkPlan> Talks(int seeds)
    {
        for (int seed = 1; seed <= seeds; seed++)
        {
            for (int room = 0; room < Rooms.Length; room++)
            {
                yield return new TalkPlan(
                    $"talk-{Rooms[room] * 10:0}-{seed}", (ulong)((10 * room) + seed), 300 + (30 * seed), Rooms[room],
                    SwayMetres: 0, Strangers: false, Distances[room], Clips)
                {
                    TempoWander = Casting.Wander,
                };
            }
        }
    }

    private static IEnumerable<TalkPlan> Shorts(int count)
    {
        for (int seed = 1; seed <= count; seed++)
        {
            int room = seed % 3;
            yield return new TalkPlan(
                $"short-{seed}", (ulong)(300 + seed), 360, Rooms[room], SwayMetres: 0, Strangers: false,
                Distances[room], ShortClips)
            {
                TempoWander = Casting.Wander,
                Kind = Trials.Short,
            };
        }
    }

    private static IEnumerable<TalkPlan> Noisy(int count)
    {
        for (int seed = 1; seed <= count; seed++)
        {
            int room = seed % 3;
            yield return new TalkPlan(
                $"noisy-{seed}", (ulong)(400 + seed), 330, Rooms[room], SwayMetres: 0, Strangers: false,
                [Distances[room][0]],
                [
                    .. new[] { NoiseKind.Wind, NoiseKind.Babble, NoiseKind.Music }.SelectMany(kind =>
                        new double[] { 10, 10, 10, 30, 30, 60 }.Select(seconds => new ClipPlan(seconds) { Noise = kind })),
                ])
            {
                TempoWander = Casting.Wander,
                Kind = Trials.Noisy,
            };
        }
    }

    private static IEnumerable<TalkPlan> People(int count)
    {
        for (int seed = 0; seed < count; seed++)
        {
            yield return new TalkPlan(
                $"people-{seed + 1}", (ulong)(500 + seed), 300, LongRoom, SwayMetres: 0, Strangers: false, Distances[1],
                [new(2), new(5), new(10), new(10), new(30), new(30), new(60)])
            {
                People = Casts[seed],
                Kind = Trials.People,
            };
        }
    }

    /// <summary>A camera 4 m away in the room that rings longest: direct-to-reverberant about −12 dB.</summary>
    private static IEnumerable<TalkPlan> Far(int count)
    {
        for (int seed = 1; seed <= count; seed++)
        {
            yield return new TalkPlan(
                $"far-{seed}", (ulong)(600 + seed), 330, 0.8, SwayMetres: 0, Strangers: false, [4.0],
                [new(10), new(10), new(30), new(30), new(60), new(60)])
            {
                TempoWander = Casting.Wander,
                Kind = Trials.Far,
            };
        }
    }

    private static IEnumerable<TalkPlan> Strangers(int count)
    {
        for (int seed = 1; seed <= count; seed++)
        {
            yield return new TalkPlan(
                $"strangers-{seed}", (ulong)(200 + seed), 150, Rooms[seed % 3], SwayMetres: 0, Strangers: true, [2.5],
                [new(5), new(10), new(20), new(40), new(60)])
            {
                TempoWander = Casting.Wander,
                People = seed == 1 ? new PromptCast(RecordedPrompts.Russian, null, 0, 1) : null,
            };
        }
    }

    /// <summary>Only ever held against their own recorder, so that they may repeat themselves.</summary>
    private static IEnumerable<TalkPlan> Long()
    {
        for (int seed = 1; seed <= 3; seed++)
        {
            yield return Long($"still-{seed}", 100 + seed, 1210, swayMetres: 0, new ClipPlan(1205));
            yield return Long($"moving-{seed}", 110 + seed, 1210, swayMetres: 0.1, new ClipPlan(1205));
        }

        foreach ((string name, int seed, double sway) in new[] { ("take-still", 120, 0.0), ("take-moving", 121, 0.1) })
        {
            yield return Long(
                name, seed, 2415, sway, [.. new double[] { 0, 1, 2, -2 }.Select(ppm => new ClipPlan(2400) { WarmingPpm = ppm })])
                with
                {
                    Kind = Trials.Take,
                };
        }
    }

    private static TalkPlan Long(string name, int seed, double seconds, double swayMetres, params ClipPlan[] clips) =>
        new(name, (ulong)seed, seconds, LongRoom, swayMetres, Strangers: false, [2.5], clips)
        {
            Kind = swayMetres > 0 ? Trials.Moving : Trials.Still,
        };

    private static IEnumerable<ClipPlan> Many(int count, ClipPlan plan) => Enumerable.Repeat(plan, count);
}
