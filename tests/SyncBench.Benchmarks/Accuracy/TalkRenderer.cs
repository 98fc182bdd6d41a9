using System.Runtime.InteropServices;
using System.Text.Json;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>Renders talks into a folder, once: the second time they are only looked up.</summary>
/// <remarks>
/// The same room, subject and levels as <see cref="PairScene"/>, but many clips from one talk, with speech and noise
/// apart, so that one rendering serves every signal-to-noise ratio.
/// </remarks>
internal sealed class TalkRenderer(string cache)
{
    private static readonly WindowedSinc AnyTempo = new();

    private static readonly string[] StrangeVoices =
        ["en-us+m1", "en-gb-scotland+f3", "en-us+f4", "en-gb+m5", "en-029+m7", "en-gb-x-gbclan+f1"];

    internal async Task<Talk> TalkAsync(TalkPlan plan)
    {
        string folder = Path.Combine(cache, plan.Name), truth = Path.Combine(folder, "truth.json");
        if (File.Exists(truth) && JsonSerializer.Deserialize<Talk>(await File.ReadAllTextAsync(truth)) is { } known
            && JsonSerializer.Serialize(known.Plan) == JsonSerializer.Serialize(plan))
        {
            return known;
        }

        Console.Error.WriteLine($"rendering {plan.Name}");
        Directory.CreateDirectory(folder);
        Talk talk = await RenderAsync(plan, folder);
        await File.WriteAllTextAsync(truth, JsonSerializer.Serialize(talk)); // last: its presence says all is there
        return talk;
    }

    internal string PathOf(TalkPlan plan, string file) => Path.Combine(cache, plan.Name, file);

    private static async Task<Talk> RenderAsync(TalkPlan plan, string folder)
    {
        var random = new SeededRandom(plan.Seed, "talk");
        double recorderStart = random.Between(0, 1);
        int length = (int)((recorderStart + plan.Seconds + 0.5) * Air.SampleRateHz);
        Utterance[] utterances = plan.Strangers
            ? await StrangersAsync(plan, length, random)
            : await InterviewAsync(plan, length, random);
        var scene = new Scene(new ShoeboxRoom(PairScene.RoomSize, plan.Rt60), utterances, length, plan.Seed);
        var near = new Microphone("lavalier", PairScene.Lavalier, PickupPattern.AllRound, SpeechDb: -24, SnrDb: 30, RumbleDb: 4);
        SampleFile.Write(
            Path.Combine(folder, "recorder"),
            new DeviceClock(0).Record(scene.Hear(near), recorderStart, (int)(plan.Seconds * Air.SampleRateHz)));
        var clips = new List<ClipTruth>();
        foreach (double metres in plan.CameraMetres)
        {
            Point camera = PairScene.Camera(metres, random);
            double ratio = scene.Room.Response(PairScene.Subject, camera, PickupPattern.AllRound).DirectToReverberantDb();
            (float[] speech, float[] noise) = Apart(scene, camera, metres);
            foreach (ClipPlan clip in plan.Clips)
            {
                var clock = new DeviceClock(random.Between(-100, 100), clip.RateHz);
                double start = recorderStart
                    + random.Between(0, plan.Seconds - (clip.Seconds * clock.TrueSeconds));
                int count = (int)(clip.Seconds * clip.RateHz);
                string name = $"{clips.Count:00}";
                bool isApart = await WriteAsync(
                    Path.Combine(folder, name), clip, clock.Record(speech, start, count), clock.Record(noise, start, count));
                clips.Add(new ClipTruth(
                    clip, name + "-speech", isApart ? name + "-noise" : null,
                    SoundAligned.StartSeconds(
                        start, recorderStart, new DeviceClock(0), PairScene.Subject.DistanceTo(camera), PairScene.Subject.DistanceTo(PairScene.Lavalier)),
                    clock.Ppm, metres, metres == plan.CameraMetres.Max() && plan.CameraMetres.Count > 1, ratio));
            }
        }

        return new Talk(plan, "recorder", clips);
    }

    /// <summary>Speech in the room, and the noise (pink and rumble) that makes 0 dB with it.</summary>
    private static (float[] Speech, float[] Noise) Apart(Scene scene, Point camera, double metres)
    {
        var mic = new Microphone(
            $"camera at {metres}", camera, PickupPattern.AllRound, SpeechDb: -30, SnrDb: 0, RumbleDb: 6);
        float[] noise = scene.Hear(mic);
        float[] speech = scene.Hear(mic with { SnrDb = 200 });
        for (int i = 0; i < noise.Length; i++)
        {
            noise[i] -= speech[i];
        }

        return (speech, noise);
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
                        IsSubject: true, sentence.Start, Said(sentence.Samples, plan, tempo),
                        new Point(PairScene.Subject.X + Sway(), PairScene.Subject.Y + Sway(), PairScene.Subject.Z + Sway()))
                    : new Utterance(IsSubject: false, sentence.Start, Said(sentence.Samples, plan, tempo), PairScene.Interviewer)),
        ];
    }

    private static async Task<Utterance[]> StrangersAsync(TalkPlan plan, int length, SeededRandom random)
    {
        string model = StrangeVoices[plan.Seed % (ulong)StrangeVoices.Length];
        var voice = new Voice("stranger", model, 130 + random.Below(50), 20 + random.Below(60));
        var utterances = new List<Utterance>();
        for (int at = Air.SampleRateHz / 2; at < length; at += (int)(random.Between(0.35, 0.9) * Air.SampleRateHz))
        {
            float[] sentence = Said(await voice.SayAsync(SmallTalk.Sentence(random)), plan, random);
            utterances.Add(new Utterance(IsSubject: true, at, sentence, PairScene.Subject));
            at += sentence.Length;
        }

        return [.. utterances];
    }

    private static float[] Said(float[] sentence, TalkPlan plan, SeededRandom random)
    {
        if (plan.TempoSpread == 0)
        {
            return sentence;
        }

        double speed = 1 + random.Between(-plan.TempoSpread, plan.TempoSpread);
        var said = new float[(int)(sentence.Length / speed)];
        for (int n = 0; n < said.Length; n++)
        {
            said[n] = AnyTempo.At(sentence, n * speed);
        }

        return said;
    }

    /// <returns>Whether speech and noise are in two files.</returns>
    private static async Task<bool> WriteAsync(string path, ClipPlan plan, float[] speech, float[] noise)
    {
        if (!plan.Aac)
        {
            SampleFile.Write(path + "-speech", speech);
            SampleFile.Write(path + "-noise", noise);
            return true;
        }

        // Two channels with noise of their own, so that the codec's joint stereo has both a middle and a side.
        float gain = MathF.Pow(10, (float)(-TalkPlan.AacSnrDb / 20));
        var stereo = new float[2 * speech.Length];
        for (int i = 0; i < speech.Length; i++)
        {
            stereo[2 * i] = speech[i] + (gain * noise[i]);
            stereo[(2 * i) + 1] = speech[i] + (gain * noise[(i + plan.RateHz) % noise.Length]);
        }

        string file = path + ".m4a";
        await ExternalTool.RunAsync(
            "ffmpeg",
            ["-v", "error", "-y", "-f", "f32le", "-ar", $"{plan.RateHz}", "-ac", "2", "-i", "pipe:0", "-c:a", "aac", "-b:a", "128k", file],
            async pipe => await pipe.WriteAsync(MemoryMarshal.AsBytes(stereo.AsSpan()).ToArray()),
            CancellationToken.None);
        byte[] decoded = await ExternalTool.RunAsync(
            "ffmpeg", ["-v", "error", "-i", file, "-f", "f32le", "pipe:1"], feed: null, CancellationToken.None);
        float[] left = [.. MemoryMarshal.Cast<byte, float>(decoded).ToArray().Where((_, i) => i % 2 == 0).Take(speech.Length)];
        SampleFile.Write(path + "-speech", left);
        return false;
    }
}
