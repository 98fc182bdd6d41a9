using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Benchmarks.Speakers;

/// <summary>Mixes a talk as a condition says and chooses its mics.</summary>
internal sealed class Mixer(InterviewRenderer stems) : IDisposable
{
    private const double LavalierDb = -24, CameraDb = -32, RumbleDb = 6;

    private readonly string _scratch = Directory.CreateTempSubdirectory("syncbench-answers-").FullName;

    internal TakeSound Choose(Interview interview, Condition condition)
    {
        var sounds = new Dictionary<Clip, ClipSound>();
        var placements = new List<Placement>();
        var stores = new List<SoundStore>();
        for (int mic = 0; mic <= condition.Cameras; mic++)
        {
            float[] sound = Mix(interview, condition, mic);
            double late = interview.SubjectSeconds[mic] - interview.SubjectSeconds[0];
            Placement placement = Place(mic, sound.Length, late);
            placements.Add(placement);
            (ClipSound measured, SoundStore store) = Hear(sound);
            sounds.Add(placement.Clip, measured);
            stores.Add(store);
        }

        TimeRange range = placements.Select(placement => placement.CommonRange).Aggregate((all, one) => all.Intersect(one));
        TakeSound take = MicSelector.Choose(new Take("take 1", range, [.. placements]), clip => sounds[clip]);
        stores.ForEach(store => store.Dispose());
        return take;
    }

    private float[] Mix(Interview interview, Condition condition, int mic)
    {
        double level = mic == 0 ? LavalierDb : CameraDb;
        double more = mic switch
        {
            0 => -condition.BelowDb ?? interview.NaturalDb[0],
            1 => condition.AboveDb ?? interview.NaturalDb[1],
            _ => interview.NaturalDb[mic],
        };
        double noiseDb = level - (mic == 0 ? condition.LavalierSnrDb : condition.SnrDb);
        float[] mix = stems.Read(interview.Plan, $"subject-{mic}"), noise = stems.Read(interview.Plan, $"noise-{mic}");
        float[] asks = stems.Read(interview.Plan, $"interviewer-{mic}"), rumble = stems.Read(interview.Plan, "rumble");
        double until = condition.AsksUntil(interview.Script);
        for (int n = 0; n < mix.Length; n++)
        {
            double seconds = (double)n / Interview.Rate;
            double turned = condition.MovingDb * ((mic == 0 ? 0.5 : 0) * Math.Sin(seconds * Math.Tau / 11));
            double subject = level + (condition.MovingDb * Math.Sin(seconds * Math.Tau / 27)) + turned;
            double interviewer = level + more + (condition.MovingDb * Math.Sin(1 + (seconds * Math.Tau / 33)));
            mix[n] = (Gain(subject) * mix[n]) + (seconds > until ? 0 : Gain(interviewer) * asks[n])
                + (Gain(noiseDb) * noise[n]) + (Gain(noiseDb + RumbleDb) * rumble[n]);
        }

        return mix;
    }

    private static float Gain(double db) => (float)Math.Pow(10, db / 20);

    private static Placement Place(int mic, int samples, double lateSeconds)
    {
        bool isLavalier = mic == 0;
        string name = isLavalier ? "RECORDER.WAV" : FormattableString.Invariant($"CAM_{mic}.MOV");
        MediaTime duration = MediaTime.FromUnits(samples, new Rate(Interview.Rate));
        var media = new MediaInfo(
            new MediaFile(name, name, 1), "wav", MediaTime.Zero, duration, [],
            [new AudioStream(0, "pcm", Interview.Rate, 1, MediaTime.Zero, duration)], null, null, null);
        var device = new Device(name, isLavalier ? DeviceKind.Recorder : DeviceKind.Camera, isLavalier ? null : "wide", null);
        var clip = new Clip(
            media, device, [new MicChannel(0, isLavalier ? MicRole.Lavalier : MicRole.Scratch)], "made by the benchmark");
        return new Placement(
            clip, new ClockMap(MediaTime.FromSeconds(-lateSeconds), 0), 0, MediaTime.Zero, 1, null, 0, [], []);
    }

    private (ClipSound Sound, SoundStore Store) Hear(float[] sound)
    {
        var selection = new SelectionListeners(1);
        var store = new SoundStore(1, _scratch);
        float[][] channels = [sound];
        var block = new SoundBlock(Interview.Rate, channels, sound.Length, channels, sound.Length);
        foreach (ISoundListener listener in (ISoundListener[])[selection, store])
        {
            listener.Hear(block);
            listener.Finish();
        }

        return (selection.Sound with { Samples = store }, store);
    }

    public void Dispose() => Directory.Delete(_scratch, recursive: true);
}
