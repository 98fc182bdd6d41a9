using System.Collections.Concurrent;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Time;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>Asks the aligner, as the product would, about one recorder and one clip at a time.</summary>
internal sealed class TrialRunner(TalkRenderer cache) : IDisposable
{
    private const double Certainty = 0.999;

    private readonly BenchClips _clips = new();
    private readonly ConcurrentDictionary<(string, double), Lazy<HeardClip>> _recorders = new();

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
        AlignmentResult result = new Aligner(Certainty).Align([recorder, clip], null, CancellationToken.None);
        ClipOutcome outcome = result.Clips[1];
        (double? error, double? ppm) = (null, null);
        if (trial is { Belongs: true, Clip: { } truth }
            && outcome.Placement is { } placed && result.Clips[0].Placement is { } reference)
        {
            double middle = trial.Seconds / 2;
            double start = truth.StartSeconds + (trial.From * (1 + (truth.Ppm * 1e-6)));
            double expected = start + (middle * (1 + (truth.Ppm * 1e-6)));
            MediaTime common = placed.Map.ToCommon(MediaTime.FromSeconds(middle));
            error = (reference.Map.ToClip(common).ToSeconds() - expected) * 1000;
            ppm = ((((1 + (placed.Map.Ppm * 1e-6)) / (1 + (reference.Map.Ppm * 1e-6))) - 1) * 1e6) - truth.Ppm;
        }

        return new TrialResult(
            trial.Kind, trial.Recorder.Plan.Name, trial.Seconds, trial.SnrDb, trial.Source.Plan.Rt60,
            trial.Clip?.IsFar ?? false, trial.Clip?.DirectToReverberantDb ?? 0, trial.Clip?.Ppm ?? 0, trial.Belongs,
            outcome.Outcome.ToString(), outcome.Placement?.Certainty ?? 0, error, ppm,
            outcome.Placement is null ? null : Sigma(result));
    }

    /// <summary>Of the clock that is not the reference.</summary>
    private static double? Sigma(AlignmentResult result) =>
        result.Clocks.FirstOrDefault(clock => !clock.IsReference)?.StandardErrorPpm;

    private HeardClip Recorder(Trial trial) => _recorders.GetOrAdd(
        (trial.Recorder.Plan.Name, trial.RecorderSeconds),
        key => new Lazy<HeardClip>(() =>
        {
            float[] all = SampleFile.Read(cache.PathOf(trial.Recorder.Plan, trial.Recorder.Recorder));
            return _clips.Hear(
                DeviceKind.Recorder, "RECORDER", 48_000, all.AsSpan(0, Math.Min(all.Length, (int)(key.Item2 * 48_000))));
        })).Value;

    private float[] Sound(Trial trial)
    {
        if (trial.Clip is not { } clip)
        {
            return Artificial(trial);
        }

        float[] sound = SampleFile.Read(cache.PathOf(trial.Source.Plan, clip.Speech));
        if (clip.Noise is { } file)
        {
            float[] noise = SampleFile.Read(cache.PathOf(trial.Source.Plan, file));
            float gain = MathF.Pow(10, (float)(-trial.SnrDb / 20));
            for (int i = 0; i < sound.Length; i++)
            {
                sound[i] += gain * noise[i];
            }
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
