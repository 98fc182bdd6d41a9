using System.Text.Json;
using SyncBench.Benchmarks.Accuracy;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Selection;

/// <summary>Renders talks into the cache, once.</summary>
internal sealed class TalkBaseRenderer(string cache)
{
    /// <summary>Speech is kept at this root mean square, so that its peaks stay in 16 bits.</summary>
    private const float Kept = 0.05f;

    internal async Task<TalkBase> RenderAsync(BasePlan plan)
    {
        string folder = Path.Combine(cache, plan.Name), truth = Path.Combine(folder, "talk.json");
        string asked = JsonSerializer.Serialize(plan);
        if (!File.Exists(truth) || JsonSerializer.Deserialize<Known>(await File.ReadAllTextAsync(truth))?.Asked != asked)
        {
            Console.Error.WriteLine($"rendering {plan.Name}");
            Directory.CreateDirectory(folder);
            Known made = await MakeAsync(plan, asked, folder);
            await File.WriteAllTextAsync(truth, JsonSerializer.Serialize(made)); // last: its presence says all is there
        }

        Known known = JsonSerializer.Deserialize<Known>(await File.ReadAllTextAsync(truth))!;
        return new TalkBase(
            plan,
            [.. plan.Mics.Select(mic => Array.ConvertAll(SampleFile.Read(Path.Combine(folder, mic.Name)), x => x / Kept))],
            [.. known.Said.Select(said => (said.From, said.To))],
            [.. known.Said.Where(said => said.IsSubject).Select(said => (said.From, said.To))],
            known.DirectToReverberantDb);
    }

    private static async Task<Known> MakeAsync(BasePlan plan, string asked, string folder)
    {
        int length = (int)(plan.Seconds * Air.SampleRateHz);
        Utterance[] utterances = await UtterancesAsync(plan, length);
        var scene = new Scene(new ShoeboxRoom(PairScene.RoomSize, plan.Rt60), utterances, length, plan.Seed);
        Range[] subject = [.. utterances.Where(u => u.IsSubject).Select(u => u.Start..Math.Min(u.End, length))];
        foreach (MicPlan mic in plan.Mics)
        {
            float[] speech = scene.HearSpeech(new Microphone(mic.Name, mic.At, mic.Pattern, mic.SpeechDb, mic.SnrDb, RumbleDb: 0));
            float gain = Kept / (float)Math.Sqrt(SpeechBand.Power(speech, subject));
            SampleFile.Write(Path.Combine(folder, mic.Name), Array.ConvertAll(speech, x => x * gain));
        }

        return new Known(
            asked,
            [.. utterances.Select(u => new Stretch(u.IsSubject, (double)u.Start / Air.SampleRateHz, (double)Math.Min(u.End, length) / Air.SampleRateHz))],
            [.. plan.Mics.Select(mic => mic.DirectToReverberantDb(scene.Room, PairScene.Subject))]);
    }

    private static async Task<Utterance[]> UtterancesAsync(BasePlan plan, int length)
    {
        var random = new SeededRandom(plan.Seed, "selection");
        var utterances = new List<Utterance>();
        int left = 0;
        for (int at = (int)(random.Between(1.5, 2.5) * Air.SampleRateHz); at < length;)
        {
            bool asks = left-- == 0;
            left = asks ? 3 + random.Below(4) : left;
            Talker speaker = asks ? plan.Interviewer : plan.Subject;
            float[] sentence = await speaker.SayAsync(random);
            float[] said = Tempo.Said(sentence, random.Between(0.97, 1.03)); // the synthesiser would say the same samples twice
            utterances.Add(new Utterance(!asks, at, said, asks ? PairScene.Interviewer : PairScene.Subject));
            at += said.Length + (int)(random.Between(0.3, left == 0 || asks ? 1.6 : 0.9) * Air.SampleRateHz);
        }

        return [.. utterances.Where(u => u.Start < length)];
    }

    private sealed record Stretch(bool IsSubject, double From, double To);

    private sealed record Known(string Asked, Stretch[] Said, double[] DirectToReverberantDb);
}
