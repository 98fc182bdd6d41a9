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
    private const double NoNoise = 200;

    internal async Task<Talk> TalkAsync(TalkPlan plan)
    {
        string folder = Path.Combine(cache, plan.Name), truth = Path.Combine(folder, "truth.json");
        if (File.Exists(truth) && JsonSerializer.Deserialize<Talk>(await File.ReadAllTextAsync(truth)) is { } known
            && JsonSerializer.Serialize(known.Plan) == JsonSerializer.Serialize(plan))
        {
            return known with { Plan = plan };
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
        Utterance[] utterances = await Casting.UtterancesAsync(plan, length, random);
        var scene = new Scene(new ShoeboxRoom(PairScene.RoomSize, plan.Rt60), utterances, length, plan.Seed);
        var near = new Microphone("lavalier", PairScene.Lavalier, PickupPattern.AllRound, SpeechDb: -24, SnrDb: 30, RumbleDb: 4);
        WriteRecording(Path.Combine(folder, "recorder"), scene.Hear(near), recorderStart, plan);
        var clips = new List<ClipTruth>();
        foreach (double metres in plan.CameraMetres)
        {
            Point camera = PairScene.Camera(metres, random);
            double ratio = scene.Room.Response(PairScene.Subject, camera, PickupPattern.AllRound).DirectToReverberantDb();
            var mic = new Microphone(
                $"camera at {metres}", camera, PickupPattern.AllRound, SpeechDb(plan), SnrDb: NoNoise, RumbleDb: 6);
            float[] speech = scene.Hear(mic);
            var noise = new ClipNoise(scene, mic, near, plan.Seed);
            var noises = new Dictionary<NoiseKind, float[]>();
            foreach (NoiseKind kind in plan.Clips.Select(clip => clip.Noise).Distinct())
            {
                noises[kind] = await noise.HeardAsync(
                    kind,
                    atRecorder => WriteRecording(Path.Combine(folder, Talk.RecorderNoise(kind)), atRecorder, recorderStart, plan));
            }

            foreach (ClipPlan clip in plan.Clips)
            {
                var clock = new DeviceClock(random.Between(-100, 100), clip.RateHz) { WarmingPpm = clip.WarmingPpm };
                double start = recorderStart
                    + random.Between(0, plan.Seconds - (clip.Seconds * clock.TrueSeconds));
                int count = (int)(clip.Seconds * clip.RateHz);
                string name = $"{clips.Count:00}";
                bool isApart = await WriteAsync(
                    Path.Combine(folder, name), clip, clock.Record(speech, start, count), clock.Record(noises[clip.Noise], start, count));
                clips.Add(new ClipTruth(
                    clip, name + "-speech", isApart ? name + "-noise" : null,
                    SoundAligned.StartSeconds(
                        start, recorderStart, new DeviceClock(0), PairScene.Subject.DistanceTo(camera), PairScene.Subject.DistanceTo(PairScene.Lavalier)),
                    clock.Ppm, metres, metres == plan.CameraMetres.Max() && plan.CameraMetres.Count > 1, ratio)
                {
                    SubjectShare = Share(utterances, start, clip.Seconds),
                });
            }
        }

        return new Talk(plan, "recorder", clips);
    }

    /// <summary>Wind is so strong below the band in which it is weighed that speech has to leave it room.</summary>
    private static double SpeechDb(TalkPlan plan) => plan.Clips.Any(clip => clip.Noise == NoiseKind.Wind) ? -48 : -30;

    private static double Share(Utterance[] utterances, double start, double seconds) => utterances
        .Where(utterance => utterance.IsSubject)
        .Sum(utterance => Math.Max(0, Math.Min((double)utterance.End / Air.SampleRateHz, start + seconds)
            - Math.Max((double)utterance.Start / Air.SampleRateHz, start))) / seconds;

    private static void WriteRecording(string path, float[] sound, double recorderStart, TalkPlan plan) => SampleFile.Write(
        path, new DeviceClock(0).Record(sound, recorderStart, (int)(plan.Seconds * Air.SampleRateHz)));

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
