using System.Globalization;
using System.Runtime.InteropServices;
using SyncBench.Alignment;
using SyncBench.Benchmarks.Speed;
using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Time;
using DeviceClock = SyncBench.Scenes.DeviceClock;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>Clips of a minute, each looked for by itself in a recorder that ran four hours.</summary>
/// <remarks>
/// The talk and its files are those of the speed bench: cut from the camera's file at random moments, with pink noise at a
/// set distance below the subject's voice in 200 to 7500 Hz.
/// </remarks>
internal sealed class LongSearch(SpeedDumps dumps)
{
    private const int Clips = 250;
    private const int Seconds = 60;

    /// <summary>Long before the second clip of a random pair comes to lie on the first, and short enough to keep.</summary>
    private const int NoiseSeconds = 90;

    private static readonly double[] Ratios = [0, -10];

    internal async Task<IReadOnlyList<TrialResult>> RunAsync()
    {
        DumpPlan plan = SpeedDumps.Hours(4);
        SpeedDump dump = await dumps.HoursAsync(4);
        IReadOnlyList<Spoken> talk = await LongTalk.OfAsync(plan.Seconds, plan.Seed);
        DevicePlan recorder = plan.Devices[0], camera = plan.Devices[1];
        var random = new SeededRandom(plan.Seed, "long search");
        double[] starts = [.. Enumerable.Range(0, Clips).Select(_ => Math.Round(random.Between(3, plan.Seconds - Seconds - 10), 3))];
        var heard = new (double Power, int Samples)[Clips];
        await Parallel.ForAsync(0, Clips, async (i, stop) =>
            heard[i] = Subject(talk, camera, starts[i], await CutAsync(Path.Combine(dump.Folder, camera.File), starts[i], stop)));

        double voice = heard.Sum(h => h.Power * h.Samples) / heard.Sum(h => (double)h.Samples);
        float[] pink = Noise.Pink(NoiseSeconds * Air.SampleRateHz, new SeededRandom(plan.Seed, "long search, noise"));
        double pinkPower = SpeechBand.Power(pink, [Range.All]);
        double ppm = ((new DeviceClock(camera.Ppm).TrueSeconds / new DeviceClock(recorder.Ppm).TrueSeconds) - 1) * 1e6;

        using var made = new BenchClips();
        HeardClip whole = await WholeAsync(dump, recorder);
        using SoundStore kept = whole.Sound;
        var results = new TrialResult[Ratios.Length * Clips];
        await Parallel.ForAsync(0, Clips, async (i, stop) =>
        {
            float[] cut = await CutAsync(Path.Combine(dump.Folder, camera.File), starts[i], stop); // again: all at once are 3 GB
            double truth = dump.StartSeconds[camera.File] + ((starts[i] + (Seconds / 2)) * (1 + (ppm * 1e-6)));
            for (int n = 0; n < Ratios.Length; n++)
            {
                float[] sound = Noisy(cut, pink, Math.Sqrt(voice / pinkPower * Math.Pow(10, -Ratios[n] / 10)), i);
                HeardClip clip = made.Hear(DeviceKind.Camera, "CAM_A", Air.SampleRateHz, sound);
                using SoundStore own = clip.Sound;
                AlignmentResult result = new Aligner(TrialRunner.Certainty).Align([whole, clip], null, stop);
                results[(i * Ratios.Length) + n] = Judge(result, truth, ppm, Ratios[n], i, (double)heard[i].Samples / cut.Length);
            }

            if (i % 25 == 0)
            {
                await Console.Error.WriteLineAsync($"long search: clip {i} of {Clips}");
            }
        });
        return results;
    }

    /// <summary>The recorder, by the program's own way of reading.</summary>
    private static async Task<HeardClip> WholeAsync(SpeedDump dump, DevicePlan recorder)
    {
        string path = Path.Combine(dump.Folder, recorder.File);
        ProbeResult probed = await MediaProbe.ProbeAsync(
            new MediaFile(recorder.File, path, new FileInfo(path).Length), CancellationToken.None);
        MediaInfo media = probed.Media ?? throw new InvalidOperationException(probed.Problem);
        var store = new SoundStore(1, Path.GetTempPath());
        var bands = new BandLevelMeter(1);
        await SoundReader.ReadAsync(media, [store, bands], null, CancellationToken.None);
        var clip = new Clip(
            media, new Device("RECORDER", DeviceKind.Recorder, null, DistanceMetres: null), [new MicChannel(0, MicRole.Lavalier)],
            "made by the benchmark");
        return new HeardClip(clip, [bands.Of(0)], store);
    }

    private static async Task<float[]> CutAsync(string file, double from, CancellationToken stop) =>
        MemoryMarshal.Cast<byte, float>(await ExternalTool.RunAsync(
            "ffmpeg",
            ["-v", "error", "-ss", from.ToString(CultureInfo.InvariantCulture), "-i", file, "-t", $"{Seconds}", "-vn",
                "-af", "pan=mono|c0=c0", "-f", "f32le", "pipe:1"],
            feed: null, stop)).ToArray();

    private static (double Power, int Samples) Subject(IReadOnlyList<Spoken> talk, DevicePlan camera, double start, float[] cut)
    {
        Range[] spoken = [.. Spoken(talk, camera, start, cut.Length)];
        return (spoken.Length == 0 ? 0 : SpeechBand.Power(cut, spoken), spoken.Sum(range => range.End.Value - range.Start.Value));
    }

    /// <summary>Where the subject speaks in a clip, in its samples; the way to the camera and the clock's drift are left out.</summary>
    private static IEnumerable<Range> Spoken(IReadOnlyList<Spoken> talk, DevicePlan camera, double start, int count)
    {
        long first = (long)((camera.StartSeconds + start) * Air.SampleRateHz);
        return talk
            .Where(spoken => spoken.IsSubject)
            .Select(spoken => (From: Math.Max(0, spoken.Start - first), To: Math.Min(count, spoken.End - first)))
            .Where(spoken => spoken.To > spoken.From)
            .Select(spoken => (int)spoken.From..(int)spoken.To);
    }

    /// <summary>Each clip takes the noise from another place.</summary>
    private static float[] Noisy(float[] clean, float[] noise, double gain, int clip)
    {
        int at = (int)(clip * 7919L * 48 % noise.Length);
        float[] sound = new float[clean.Length];
        for (int i = 0; i < sound.Length; i++)
        {
            sound[i] = clean[i] + ((float)gain * noise[at]);
            at = at + 1 == noise.Length ? 0 : at + 1;
        }

        return sound;
    }

    private static TrialResult Judge(AlignmentResult result, double truth, double ppm, double ratio, int clip, double subjectShare)
    {
        ClipOutcome outcome = result.Clips[1];
        (double? error, double? rate) = (null, null);
        if (outcome.Placement is { } placed && result.Clips[0].Placement is { } reference)
        {
            error = 1000 * (reference.Map.ToClip(placed.Map.ToCommon(MediaTime.FromSeconds(Seconds / 2))).ToSeconds() - truth);
            rate = ((((1 + (placed.Map.Ppm * 1e-6)) / (1 + (reference.Map.Ppm * 1e-6))) - 1) * 1e6) - ppm;
        }

        return new TrialResult(
            Trials.InFourHours, "4h", Seconds, ratio, DumpPlan.Rt60, IsFar: false, 0, ppm, Belongs: true, outcome.Outcome.ToString(),
            outcome.Placement?.Certainty ?? 0, error, rate, PpmSigma: null, SigmaMs: outcome.Placement?.OffsetStandardError.ToSeconds() * 1000,
            InsideSeconds: Seconds, SubjectShare: subjectShare, ClipName: $"4h/{clip}");
    }
}
