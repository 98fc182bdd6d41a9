using System.Text.Json;
using SyncBench.Scenes;
using SyncBench.Signal;

namespace SyncBench.Benchmarks.Speakers;

/// <summary>
/// A rendered talk, each talker at each mic by himself at the analysis rate, so that any level can be set exactly.
/// </summary>
/// <param name="NaturalDb">Interviewer less subject at each mic as the places of mouths and mics make it.</param>
/// <param name="SubjectSeconds">How long the subject's voice travels to each mic.</param>
/// <param name="InterviewerSeconds">The same for the interviewer's.</param>
internal sealed record Interview(
    InterviewPlan Plan, Script Script, IReadOnlyList<double> NaturalDb, IReadOnlyList<double> SubjectSeconds,
    IReadOnlyList<double> InterviewerSeconds)
{
    internal const int Rate = 16_000;

    /// <summary>Lavalier, a camera by the interviewer, a second camera.</summary>
    internal const int Mics = 3;
}

/// <summary>Renders talks into a folder, once: the second time they are only looked up.</summary>
internal sealed class InterviewRenderer(string cache, string prompts)
{
    /// <summary>What is kept has this root mean square while the talker speaks (200 to 7500 Hz), or as noise.</summary>
    internal const float Kept = 0.05f;

    internal async Task<Interview> InterviewAsync(InterviewPlan plan)
    {
        string folder = Path.Combine(cache, "answers", plan.Name), truth = Path.Combine(folder, "truth.json");
        if (File.Exists(truth) && JsonSerializer.Deserialize<Interview>(await File.ReadAllTextAsync(truth)) is { } known && known.Plan == plan)
        {
            return known;
        }

        await Console.Error.WriteLineAsync($"rendering {plan.Name}");
        Directory.CreateDirectory(folder);
        Interview interview = await RenderAsync(plan, folder);
        await File.WriteAllTextAsync(truth, JsonSerializer.Serialize(interview)); // last: its presence says all is there
        return interview;
    }

    internal float[] Read(InterviewPlan plan, string file) =>
        Array.ConvertAll(Accuracy.SampleFile.Read(Path.Combine(cache, "answers", plan.Name, file)), sample => sample / Kept);

    private async Task<Interview> RenderAsync(InterviewPlan plan, string folder)
    {
        var random = new SeededRandom(plan.Seed, "places");
        double About(double middle, double spread) => middle + random.Between(-spread, spread);
        var subject = new Point(About(1.7, 0.2), About(2.4, 0.3), 1.22);
        var interviewer = new Point(About(4, 0.3), About(1.5, 0.3), 1.25);
        Point[] mics =
        [
            new(subject.X + 0.07, subject.Y + 0.02, subject.Z - About(0.23, 0.04)),
            new(interviewer.X + About(0.3, 0.1), interviewer.Y + About(0.8, 0.3), About(1.45, 0.1)),
            new(About(3, 0.4), About(4.2, 0.4), About(1.5, 0.1)),
        ];
        (var said, Script script) = await new ScriptWriter(
            TalkerOf(plan.Subject), TalkerOf(plan.Interviewer), plan.Seconds, plan.Seed).WriteAsync();
        int length = said.Max(utterance => utterance.Start + utterance.Samples.Length) + (2 * Air.SampleRateHz);
        var room = new ShoeboxRoom(PairScene.RoomSize, plan.Rt60);
        var natural = new List<double>();
        for (int mic = 0; mic < mics.Length; mic++)
        {
            double[] powers = new double[2];
            foreach (bool isSubject in (bool[])[true, false])
            {
                var microphone = new Microphone($"{mic}", mics[mic], PickupPattern.AllRound, 0, 0, 0);
                Utterance[] utterances = [.. said.Where(utterance => utterance.IsSubject == isSubject)
                    .Select(utterance => new Utterance(isSubject, utterance.Start, utterance.Samples, isSubject ? subject : interviewer))];
                float[] heard = new Scene(room, utterances, length, plan.Seed).HearSpeech(microphone);
                double power = SpeechBand.Power(heard, [.. utterances.Select(u => u.Start..u.End)]);
                powers[isSubject ? 1 : 0] = power;
                Write(Path.Combine(folder, $"{(isSubject ? "subject" : "interviewer")}-{mic}"), heard, power);
            }

            natural.Add(10 * Math.Log10(powers[0] / powers[1]));
            float[] pink = Noise.Pink(length, new SeededRandom(plan.Seed, $"noise {mic}"));
            Write(Path.Combine(folder, $"noise-{mic}"), pink, SpeechBand.Power(pink, [Range.All]));
        }

        float[] rumble = Noise.Rumble(length, new SeededRandom(plan.Seed, "rumble"));
        Write(Path.Combine(folder, "rumble"), rumble, rumble.Average(sample => (double)sample * sample));
        return new Interview(
            plan, script, natural, [.. mics.Select(mic => Air.TravelSeconds(subject.DistanceTo(mic)))],
            [.. mics.Select(mic => Air.TravelSeconds(interviewer.DistanceTo(mic)))]);
    }

    private Talker TalkerOf(string voice) => voice.Split(' ') switch
    {
        [var model, var speed, var pitch] => new SyntheticTalker(
            model, int.Parse(speed, System.Globalization.CultureInfo.InvariantCulture),
            int.Parse(pitch, System.Globalization.CultureInfo.InvariantCulture)),
        _ => new HumanTalker(Path.Combine(prompts, voice)),
    };

    private static void Write(string path, float[] sound, double power)
    {
        var resampler = new RationalResampler(Air.SampleRateHz, Interview.Rate);
        var slow = new float[resampler.MaxOutput(sound.Length) + 4096];
        int written = resampler.Process(sound, slow);
        written += resampler.Finish(slow.AsSpan(written));
        float gain = (float)(Kept / Math.Sqrt(power));
        Accuracy.SampleFile.Write(path, Array.ConvertAll(slow[..written], sample => sample * gain));
    }
}
