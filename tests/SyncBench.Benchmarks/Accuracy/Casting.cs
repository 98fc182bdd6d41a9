using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>Who says what, when and where in a talk.</summary>
internal static class Casting
{
    private static readonly WindowedSinc AnyTempo = new();

    private static readonly string[] StrangeVoices =
        ["en-us+m1", "en-gb-scotland+f3", "en-us+f4", "en-gb+m5", "en-029+m7", "en-gb-x-gbclan+f1"];

    internal static Task<Utterance[]> UtterancesAsync(TalkPlan plan, int length, SeededRandom random) => plan switch
    {
        { People: { } people } => PeopleAsync(people, plan, length, random),
        { Strangers: true } => StrangersAsync(plan, length, random),
        _ => InterviewAsync(plan, length, random),
    };

    /// <summary>One who talks without end, to fill the grid.</summary>
    internal static async Task<float[]> BabblerAsync(int voice, int length, SeededRandom random)
    {
        var speaker = new Voice("babbler", StrangeVoices[voice % StrangeVoices.Length], 150 + random.Below(30), 20 + random.Below(60));
        var babble = new float[length];
        for (int at = 0; at < length;)
        {
            float[] sentence = Said(await speaker.SayAsync(SmallTalk.Sentence(random)), Wander, random);
            sentence.AsSpan(0, Math.Min(sentence.Length, length - at)).CopyTo(babble.AsSpan(at));
            at += sentence.Length + (int)(random.Between(0.1, 0.5) * Air.SampleRateHz);
        }

        return babble;
    }

    internal const double Wander = 0.03;

    /// <summary>The interviewer says one prompt, the subject two to five, until one of them has no more to say.</summary>
    private static async Task<Utterance[]> PeopleAsync(PromptCast cast, TalkPlan plan, int length, SeededRandom random)
    {
        var answers = new Queue<float[]>(await RecordedPrompts.OfAsync(cast.Subject, cast.Part, cast.Parts, plan.Seed));
        var questions = new Queue<float[]>(
            cast.Interviewer is { } voice ? await RecordedPrompts.OfAsync(voice, cast.Part, cast.Parts, plan.Seed) : []);
        var utterances = new List<Utterance>();
        int at = Air.SampleRateHz / 2;
        while (at < length && answers.Count > 0)
        {
            if (questions.TryDequeue(out float[]? question))
            {
                utterances.Add(new Utterance(IsSubject: false, at, question, PairScene.Interviewer));
                at += question.Length + (int)(random.Between(0.6, 1.2) * Air.SampleRateHz);
            }

            for (int said = 2 + random.Below(4); said > 0 && answers.TryDequeue(out float[]? answer); said--)
            {
                utterances.Add(new Utterance(IsSubject: true, at, answer, PairScene.Subject));
                at += answer.Length + (int)(random.Between(0.35, 0.9) * Air.SampleRateHz);
            }
        }

        return at >= length || at > plan.Seconds * Air.SampleRateHz * 0.95
            ? [.. utterances.Where(utterance => utterance.Start < length)]
            : throw new InvalidOperationException($"{plan.Name} is {at / Air.SampleRateHz} s of prompts, too few for its length.");
    }

    private static async Task<Utterance[]> InterviewAsync(TalkPlan plan, int length, SeededRandom random)
    {
        Rehearsal rehearsal = await Rehearsal.OfAsync(
            SmallTalk.Lines(plan.Seconds, plan.Seed), random.Between(0.2, 1), breakSeconds: 0, plan.Seed);
        double Sway() => random.Between(-plan.SwayMetres, plan.SwayMetres);
        var tempo = new SeededRandom(plan.Seed, "tempo");
        return
        [
            .. rehearsal.Sentences.Where(sentence => sentence.Start < length).Select(sentence =>
                sentence.Line.Speaker == Speaker.Subject
                    ? new Utterance(
                        IsSubject: true, sentence.Start, Said(sentence.Samples, plan.TempoWander, tempo),
                        new Point(PairScene.Subject.X + Sway(), PairScene.Subject.Y + Sway(), PairScene.Subject.Z + Sway()))
                    : new Utterance(IsSubject: false, sentence.Start, Said(sentence.Samples, plan.TempoWander, tempo), PairScene.Interviewer)),
        ];
    }

    private static async Task<Utterance[]> StrangersAsync(TalkPlan plan, int length, SeededRandom random)
    {
        string model = StrangeVoices[plan.Seed % (ulong)StrangeVoices.Length];
        var voice = new Voice("stranger", model, 130 + random.Below(50), 20 + random.Below(60));
        var utterances = new List<Utterance>();
        for (int at = Air.SampleRateHz / 2; at < length; at += (int)(random.Between(0.35, 0.9) * Air.SampleRateHz))
        {
            float[] sentence = Said(await voice.SayAsync(SmallTalk.Sentence(random)), plan.TempoWander, random);
            utterances.Add(new Utterance(IsSubject: true, at, sentence, PairScene.Subject));
            at += sentence.Length;
        }

        return [.. utterances];
    }

    /// <summary>The sentence with a tempo (and so a pitch) of its own in every sixth of a second.</summary>
    private static float[] Said(float[] sentence, double wander, SeededRandom random)
    {
        if (wander == 0)
        {
            return sentence;
        }

        const int Knot = Air.SampleRateHz / 6;
        double Speed() => 1 + random.Between(-wander, wander);
        var said = new List<float>(sentence.Length);
        (double from, double to) = (Speed(), Speed());
        double at = 0;
        for (int n = 0; at < sentence.Length; n = (n + 1) % Knot)
        {
            said.Add(AnyTempo.At(sentence, at));
            at += from + ((to - from) * n / Knot);
            (from, to) = n == Knot - 1 ? (to, Speed()) : (from, to);
        }

        return [.. said];
    }
}
