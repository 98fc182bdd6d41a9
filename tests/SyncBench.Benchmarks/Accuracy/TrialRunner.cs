using System.Collections.Concurrent;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Time;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>Asks the aligner, as the product would, about one recorder and one clip at a time.</summary>
internal sealed class TrialRunner(TalkRenderer cache) : IDisposable
{
    internal const double Certainty = 0.999;

    private readonly BenchClips _clips = new();
    private readonly ConcurrentDictionary<(string, NoiseKind, double), Lazy<HeardClip>> _recorders = new();

    internal TrialResult[] Run(IReadOnlyList<Trial> trials)
    {
        var results = new TrialResult[trials.Count];
        int done = 0;
        var options = new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount };
        Parallel.ForEach(Partitioner.Create(0, trials.Count, 4), options, range =>
        {
            for (int i = range.Item1; i < range.Item2; i++)
            {
                results[i] = Run(trials[i]);
            }

            int so = Interlocked.Add(ref done, range.Item2 - range.Item1);
            if (so % 100 < 4)
            {
                Console.Error.WriteLine($"{so} of {trials.Count}");
            }
        });
        return results;
    }

    private TrialResult Run(Trial trial)
    {
        HeardClip recorder = Recorder(trial);
        HeardClip clip = _clips.Hear(DeviceKind.Camera, "CAM_A", trial.Clip?.Plan.RateHz ?? 48_000, Sound(trial));
        using SoundStore sound = clip.Sound;
        using SoundStore? cut = trial.IsWholeRecorder ? null : recorder.Sound;
        AlignmentResult result = new Aligner(Certainty).Align([recorder, clip], null, CancellationToken.None);
        ClipOutcome outcome = result.Clips[1];
        (double? error, double? worst, double? ppm) = (null, null, null);
        (double start, double end) = trial.Inside;
        if (trial is { Belongs: true, Clip: { } truth }
            && outcome.Placement is { } placed && result.Clips[0].Placement is { } reference)
        {
            double Error(double at) => 1000 * (trial.RecorderFrom - truth.InRecorder(trial.From + at)
                + reference.Map.ToClip(placed.Map.ToCommon(MediaTime.FromSeconds(at))).ToSeconds());
            error = Error((start + end) / 2);
            worst = Enumerable.Range(0, 101).Max(i => Math.Abs(Error(start + ((end - start) * i / 100))));
            ppm = ((((1 + (placed.Map.Ppm * 1e-6)) / (1 + (reference.Map.Ppm * 1e-6))) - 1) * 1e6) - truth.Ppm;
        }

        return new TrialResult(
            trial.Kind, trial.Recorder.Plan.Name, trial.Seconds, trial.SnrDb, trial.Source.Plan.Rt60,
            trial.Clip?.IsFar ?? false, trial.Clip?.DirectToReverberantDb ?? 0, trial.Clip?.Ppm ?? 0, trial.Belongs,
            outcome.Outcome.ToString(), outcome.Placement?.Certainty ?? 0, error, ppm,
            outcome.Placement is null ? null : Sigma(result), worst,
            outcome.Placement?.OffsetStandardError.ToSeconds() * 1000, end - start, trial.Clip?.SubjectShare ?? 0,
            trial.Clip?.Plan.RateHz ?? 48_000, trial.Clip?.Plan.Noise.ToString(), trial.Clip?.Plan.WarmingPpm ?? 0,
            trial.Clip is { } named ? $"{trial.Source.Plan.Name}/{named.Speech}" : null);
    }

    /// <summary>Of the clock that is not the reference.</summary>
    private static double? Sigma(AlignmentResult result) =>
        result.Clocks.FirstOrDefault(clock => !clock.IsReference)?.StandardErrorPpm;

    /// <summary>One that others ask too is kept; one that is cut for a single trial is not.</summary>
    private HeardClip Recorder(Trial trial)
    {
        if (!trial.IsWholeRecorder)
        {
            return Hear(trial);
        }

        NoiseKind noise = RoomNoise(trial);
        double ratio = noise == NoiseKind.PinkAndTraffic ? 0 : trial.SnrDb;
        return _recorders.GetOrAdd(
            (trial.Recorder.Plan.Name, noise, ratio), _ => new Lazy<HeardClip>(() => Hear(trial))).Value;
    }

    private HeardClip Hear(Trial trial)
    {
        float[] all = SampleFile.Read(cache.PathOf(trial.Recorder.Plan, trial.Recorder.Recorder));
        if (RoomNoise(trial) is not NoiseKind.PinkAndTraffic and var kind)
        {
            Add(all, SampleFile.Read(cache.PathOf(trial.Recorder.Plan, Talk.RecorderNoise(kind))), trial.SnrDb);
        }

        int from = (int)(trial.RecorderFrom * Air.SampleRateHz);
        int until = Math.Min(all.Length, (int)(trial.RecorderUntil * Air.SampleRateHz));
        return _clips.Hear(DeviceKind.Recorder, "RECORDER", Air.SampleRateHz, all.AsSpan(from, until - from));
    }

    /// <summary>Noise of the recorder's own room; none of it is told by <see cref="NoiseKind.PinkAndTraffic"/>.</summary>
    private static NoiseKind RoomNoise(Trial trial) =>
        trial.Recorder.Plan.Kind == Trials.Noisy && trial.Clip?.Plan.Noise is NoiseKind.Babble or NoiseKind.Music
            ? trial.Clip.Plan.Noise
            : NoiseKind.PinkAndTraffic;

    private static void Add(float[] sound, float[] noise, double ratioDb)
    {
        float gain = MathF.Pow(10, (float)(-ratioDb / 20));
        for (int i = 0; i < sound.Length; i++)
        {
            sound[i] += gain * noise[i];
        }
    }

    private float[] Sound(Trial trial)
    {
        if (trial.Clip is not { } clip)
        {
            return Artificial(trial);
        }

        float[] sound = SampleFile.Read(cache.PathOf(trial.Source.Plan, clip.Speech));
        if (clip.Noise is { } file)
        {
            Add(sound, SampleFile.Read(cache.PathOf(trial.Source.Plan, file)), trial.SnrDb);
        }

        int from = (int)(trial.From * clip.Plan.RateHz);
        return sound[from..(from + (int)(trial.Seconds * clip.Plan.RateHz))];
    }

    private static float[] Artificial(Trial trial)
    {
        int count = (int)(trial.Seconds * Air.SampleRateHz);
        var random = new SeededRandom(trial.Seed, trial.Kind);
        switch (trial.Kind)
        {
            case Trials.PinkNoise:
                return Array.ConvertAll(Noise.Pink(count, random), sample => 3 * sample);
            case Trials.Tone:
                double hz = random.Between(100, 4000), beat = random.Between(0.2, 3);
                return
                [
                    .. Enumerable.Range(0, count).Select(n => (float)(0.1 * Math.Sin(Math.Tau * hz * n / 48_000)
                        * (0.6 + (0.4 * Math.Sin(Math.Tau * beat * n / 48_000))) + (1e-4 * random.NextGaussian()))),
                ];
            default:
                return new float[count];
        }
    }

    public void Dispose()
    {
        foreach (Lazy<HeardClip> recorder in _recorders.Values)
        {
            recorder.Value.Sound.Dispose();
        }

        _clips.Dispose();
    }
}
