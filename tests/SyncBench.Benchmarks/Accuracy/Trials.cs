using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>All that is asked.</summary>
internal static class Trials
{
    internal const string Main = "clip", Short = "short", Still = "still", Moving = "moving", Aac = "AAC", Noisy = "noisy",
        People = "recorded voices", Far = "far", Partial = "partly inside", Take = "take of 40 min",
        InFourHours = "in four hours";

    internal const string OtherText = "same voices, other text", OtherPrompts = "recorded voices, other prompts",
        OtherVoices = "other voices", NotRolling = "same talk, recorder not rolling", SameMusic = "same music loop, other talk",
        PinkNoise = "pink noise", Tone = "tone", Silence = "digital silence";

    internal static readonly double[] Ratios = [20, 10, 5, 0, -5, -10, -15, -20];

    /// <summary>By how many of a hundred.</summary>
    private static readonly (string Kind, int Share)[] Unrelated =
    [
        (OtherText, 30), (OtherPrompts, 15), (OtherVoices, 20), (NotRolling, 10), (SameMusic, 5), (PinkNoise, 8), (Tone, 7),
        (Silence, 5),
    ];

    internal static IEnumerable<Trial> Belonging(IReadOnlyList<Talk> talks, bool quick) => talks
        .Where(talk => !talk.Plan.Strangers)
        .SelectMany(talk => talk.Clips.SelectMany((clip, i) =>
            Of(talk, clip).Where(trial => !quick || (trial.SnrDb is 10 or 0 or -10 && (talk.Plan.Kind == Main || i % 3 == 0)))));

    private static IEnumerable<Trial> Of(Talk talk, ClipTruth clip)
    {
        ClipPlan plan = clip.Plan;
        Trial At(string kind, double ratio, double from = 0, double? seconds = null, double recorderFrom = 0, double? until = null) =>
            new(kind, talk, talk, clip, ratio, from, seconds ?? plan.Seconds, recorderFrom, until ?? talk.Plan.Seconds, Belongs: true);
        IEnumerable<Trial> Each(string kind, params double[] ratios) => ratios.Select(ratio => At(kind, ratio));
        switch (talk.Plan.Kind)
        {
            case Main when plan.Aac:
                return Each(Aac, TalkPlan.AacSnrDb);
            case Main when plan.RateHz != 48_000:
                return Each(Main, TalkPlan.AacSnrDb);
            case Main when plan.Seconds < 10:
                return Each(Main, 20, 10, 0, -10, -20);
            case Main when plan.Seconds < 60:
                return Each(Main, Ratios);
            case Main:
                IEnumerable<Trial> whole = Each(Main, [.. Ratios.Where(ratio => ratio >= -10)]);
                return clip.IsFar ? whole : [.. whole, .. PartlyInside(clip.InRecorder(0), plan.Seconds, At)];
            case Short:
                return plan.Seconds < 10 ? Each(Main, 0, -5) : Each(Main, 0, -10);
            case Still or Moving:
                double[] ratios = talk.Plan.Kind == Still ? [10, 0, -10] : [0];
                return
                [
                    At(talk.Plan.Kind, 0),
                    .. ratios.SelectMany(ratio => Enumerable.Range(0, 4).Select(i => At(talk.Plan.Kind, ratio, 300 * i, 300))),
                ];
            case Take:
                return Each(Take, 0);
            case Far:
                return Each(Far, 0, -5, -10);
            default:
                return Each(talk.Plan.Kind, 10, 0, -10);
        }
    }

    /// <summary>The recorder stops, or starts only, while the camera rolls.</summary>
    private static IEnumerable<Trial> PartlyInside(
        double start, double seconds, Func<string, double, double, double?, double, double?, Trial> at)
    {
        foreach (double inside in new double[] { 10, 30 })
        {
            foreach (double ratio in new double[] { 10, 0 })
            {
                yield return ratio > 0
                    ? at(Partial, ratio, 0, null, 0, start + inside)
                    : at(Partial, ratio, 0, null, start + seconds - inside, null);
            }
        }
    }

    internal static IEnumerable<Trial> Foreign(IReadOnlyList<Talk> talks, int count)
    {
        Talk[] interviews = [.. talks.Where(talk => talk.Plan is { Strangers: false, Kind: Main or Short })];
        Talk[] strangers = [.. talks.Where(talk => talk.Plan.Strangers)];
        Talk[] people = [.. talks.Where(talk => talk.Plan.Kind == People)];
        Talk[] noisy = [.. talks.Where(talk => talk.Plan.Kind == Noisy)];
        var random = new SeededRandom(1, "unrelated");
        T Pick<T>(IReadOnlyList<T> choices) => choices[random.Below(choices.Count)];
        for (int i = 0; i < count; i++)
        {
            string kind = KindAt(i * 37 % 100); // spread, so that any part of the list holds all kinds
            kind = kind == SameMusic && noisy.Length < 2 ? OtherVoices : kind;
            Talk recorder = Pick(kind switch { OtherPrompts => people, SameMusic => noisy, _ => interviews });
            double ratio = Pick(Ratios);
            ulong seed = random.NextBits();
            Talk source = kind switch
            {
                OtherText => Pick([.. interviews.Where(talk => talk != recorder)]),
                OtherPrompts => Pick([.. people.Where(talk => talk != recorder)]),
                OtherVoices => Pick(strangers),
                SameMusic => Pick([.. noisy.Where(talk => talk != recorder)]),
                _ => recorder,
            };
            double until = recorder.Plan.Seconds;
            ClipTruth? clip = Pick([.. source.Clips.Where(c => kind != SameMusic || c.Plan.Noise == NoiseKind.Music)]);
            if (kind == NotRolling)
            {
                clip = source.Clips.MaxBy(c => c.StartSeconds - (random.NextDouble() * 100))!;
                until = Math.Floor(clip.StartSeconds - 3);
            }

            bool isTalk = kind is OtherText or OtherPrompts or OtherVoices or NotRolling or SameMusic;
            yield return new Trial(
                kind, recorder, source, isTalk ? clip : null, ratio, 0, clip.Plan.Seconds, 0, until, Belongs: false, seed);
        }
    }

    private static string KindAt(int place)
    {
        foreach ((string kind, int share) in Unrelated)
        {
            if ((place -= share) < 0)
            {
                return kind;
            }
        }

        return Silence;
    }
}
