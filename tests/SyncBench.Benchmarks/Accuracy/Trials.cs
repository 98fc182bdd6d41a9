using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>All that is asked.</summary>
internal static class Trials
{
    internal const string Main = "clip", Still = "still", Moving = "moving", Aac = "AAC";

    internal const string OtherText = "same voices, other text", OtherVoices = "other voices",
        NotRolling = "same talk, recorder not rolling", PinkNoise = "pink noise", Tone = "tone", Silence = "digital silence";

    internal static readonly double[] Ratios = [20, 10, 5, 0, -5, -10];

    /// <summary>By how many of a hundred.</summary>
    private static readonly (string Kind, int Share)[] Unrelated =
        [(OtherText, 45), (OtherVoices, 25), (NotRolling, 10), (PinkNoise, 8), (Tone, 7), (Silence, 5)];

    internal static IEnumerable<Trial> Belonging(IReadOnlyList<Talk> talks, bool quick)
    {
        double[] ratios = quick ? [10, 0, -10] : Ratios;
        foreach (Talk talk in talks.Where(talk => !talk.Plan.Strangers))
        {
            foreach (ClipTruth clip in talk.Clips)
            {
                Trial At(string kind, double ratio, double from, double seconds) =>
                    new(kind, talk, talk, clip, ratio, from, seconds, talk.Plan.Seconds, Belongs: true);
                ClipPlan plan = clip.Plan;
                if (plan.Aac || plan.RateHz != 48_000)
                {
                    yield return At(plan.Aac ? Aac : Main, TalkPlan.AacSnrDb, 0, plan.Seconds);
                }
                else if (plan.Seconds > 1000)
                {
                    string kind = talk.Plan.SwayMetres > 0 ? Moving : Still;
                    yield return At(kind, 0, 0, plan.Seconds);
                    for (double from = 0; from + 300 <= plan.Seconds; from += 300)
                    {
                        yield return At(kind, 0, from, 300);
                    }
                }
                else
                {
                    foreach (double ratio in ratios.Where(ratio => plan.Seconds >= 10 || ratio is 20 or 10 or 0))
                    {
                        yield return At(Main, ratio, 0, plan.Seconds);
                    }
                }
            }
        }
    }

    internal static IEnumerable<Trial> Foreign(IReadOnlyList<Talk> talks, int count)
    {
        Talk[] interviews = [.. talks.Where(talk => !talk.Plan.Strangers && talk.Plan.Seconds < 1000)];
        Talk[] strangers = [.. talks.Where(talk => talk.Plan.Strangers)];
        var random = new SeededRandom(1, "unrelated");
        T Pick<T>(IReadOnlyList<T> choices) => choices[random.Below(choices.Count)];
        for (int i = 0; i < count; i++)
        {
            string kind = KindAt(i * 37 % 100); // spread, so that any part of the list holds all kinds
            Talk recorder = Pick(interviews);
            double ratio = Pick(Ratios);
            ulong seed = random.NextBits();
            Talk source = kind switch
            {
                OtherText => Pick([.. interviews.Where(talk => talk != recorder)]),
                OtherVoices => Pick(strangers),
                _ => recorder,
            };
            double until = recorder.Plan.Seconds;
            ClipTruth? clip = Pick(source.Clips);
            if (kind == NotRolling)
            {
                clip = source.Clips.MaxBy(c => c.StartSeconds - (random.NextDouble() * 100))!;
                until = Math.Floor(clip.StartSeconds - 3);
            }

            bool isTalk = kind is OtherText or OtherVoices or NotRolling;
            yield return new Trial(
                kind, recorder, source, isTalk ? clip : null, ratio, 0, clip.Plan.Seconds, until, Belongs: false, seed);
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
