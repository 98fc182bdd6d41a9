using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Selection;
using SyncBench.Tests.Support;
using SyncBench.Time;
using SyncBench.Timeline;
using SyncBench.Timeline.Dialogue;

namespace SyncBench.Tests.Timeline.Dialogue;

/// <summary>
/// Half a minute of talk in a room as two real files, a recorder's and a camera's whose clock is 100 ppm off, with
/// placements made from the truth; and what the renderer makes of it.
/// </summary>
public sealed class DialogueScene : IAsyncLifetime, IDisposable
{
    internal const double Seconds = 30;
    internal const double CameraSeconds = 24;
    internal const double Ppm = 100;

    private readonly TemporaryFolder _folder = new();

    internal ScenePair Truth { get; private set; } = null!;

    internal Placement Recorder { get; private set; } = null!;

    internal Placement Camera { get; private set; } = null!;

    internal MicSource Lavalier => new(Recorder, Recorder.Clip.Mics[0]);

    internal MicSource Scratch => new(Camera, Camera.Clip.Mics[0]);

    /// <summary>A take while the camera rolls, and a little less: from 0.5 s after its start to 0.5 s before its end.</summary>
    internal TimeRange Middle => TimeRange.Between(
        Camera.CommonRange.Start + MediaTime.FromSeconds(0.5), Camera.CommonRange.End - MediaTime.FromSeconds(0.5));

    public async Task InitializeAsync()
    {
        Truth = await PairScene.MakeAsync(new PairCondition(
            CameraSeconds, Seconds, SnrDb: 30, Rt60: 0.2, Seed: 11, CameraMetres: 0.8, Ppm: Ppm));
        var recorder = new Device("RECORDER", DeviceKind.Recorder, null, null);
        var camera = new Device("CAM_A", DeviceKind.Camera, "wide", null);
        Recorder = Place(await ClipAsync("r.wav", Truth.Recorder, recorder, MicRole.Lavalier), new ClockMap(MediaTime.Zero, 0));
        Camera = Place(
            await ClipAsync("a.wav", Truth.Camera, camera, MicRole.Scratch),
            new ClockMap(MediaTime.FromSeconds(Truth.StartSeconds), Truth.RatePpm));
    }

    public Task DisposeAsync() => Task.CompletedTask;

    public void Dispose() => _folder.Dispose();

    /// <summary>A clip from a file that is written here; a camera's is said to have picture too.</summary>
    internal async Task<Clip> ClipAsync(string name, float[] sound, Device device, MicRole role)
    {
        await BroadcastWave.WriteAsync(
            _folder.File(name), [sound], 48_000, "test", name, DateTime.UnixEpoch, CancellationToken.None);
        MediaInfo media = (await MediaProbe.ProbeAsync(_folder.Listed(name), CancellationToken.None)).Media!;
        if (device.Kind == DeviceKind.Camera)
        {
            media = media with { Video = [new VideoStream(0, "h264", Rate.Fps25, 640, 360, MediaTime.Zero, media.Duration)] };
        }

        return new Clip(media, device, [new MicChannel(0, role)], "test");
    }

    internal static Placement Place(Clip clip, ClockMap map) => new(
        clip, map, 0.1, MediaTime.Zero, 1, null, 0, [], [new MicDelay(clip.Mics[0], MediaTime.Zero, true)]);

    /// <summary>One take with these mics one after the other.</summary>
    /// <param name="edges">Instants between the mics, on the common clock.</param>
    internal async Task<Rendered> RenderAsync(
        TimeRange range, MicSource[] mics, params double[] edges)
    {
        MediaTime[] at = [range.Start, .. edges.Select(MediaTime.FromSeconds), range.End];
        return await RenderAsync(range, [.. mics.Select((mic, i) => new Segment(TimeRange.Between(at[i], at[i + 1]), mic, "test"))]);
    }

    internal async Task<Rendered> RenderAsync(
        TimeRange range, ImmutableArray<Segment> segments)
    {
        Placement[] placed = [.. segments.Select(s => s.Source.Placement).Append(Camera).Append(Recorder).Distinct()];
        var take = new TakeSound(new Take("take 1", range, [.. placed]), segments, [], []);
        Dictionary<Clip, ClipSound> measured = [];
        foreach (Placement placement in placed)
        {
            measured[placement.Clip] = await MeasureAsync(placement.Clip);
        }

        take = take with { Loudness = LoudnessOfTake.Measure(take, clip => measured[clip]) };
        DumpResult result = CutExamples.Result(placed, take);
        TimelineModel timeline = TimelineBuilder.Build(result);
        DialogueSound sound = (await DialogueRenderer.RenderAsync([Mix(take, timeline, _folder.Path)], null, null, CancellationToken.None))[0];
        string path = _folder.File(Path.GetRandomFileName() + ".wav");
        using FileStream file = File.Create(path);
        DialogueFiles.Write(file, sound, "ropewalk-day2", DateTimeOffset.UnixEpoch);
        return new Rendered(sound, timeline, path) { Result = result };
    }

    internal static DialogueMix Mix(TakeSound take, TimelineModel timeline, string scratch)
    {
        var plan = DialoguePlan.Of(take, timeline);
        return new DialogueMix(plan, new DialogueTrack(plan.Samples, scratch));
    }

    private static async Task<ClipSound> MeasureAsync(Clip clip)
    {
        var loudness = new ClipLoudness(1);
        await SoundReader.ReadAsync(clip.Media, [loudness], null, CancellationToken.None);
        return new ClipSound([], [], []) { Loudness = loudness.Results };
    }
}

/// <summary>A rendered take, the timeline it stands on, and the file it was written to.</summary>
internal sealed record Rendered(DialogueSound Sound, TimelineModel Timeline, string Path) : IDisposable
{
    internal required DumpResult Result { get; init; }

    /// <summary>As they are before the gain of the file.</summary>
    internal float[] Samples()
    {
        var samples = new float[Sound.Track.Samples];
        Sound.Track.Read(0, samples);
        return samples;
    }

    public void Dispose() => Sound.Dispose();
}
