using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

/// <summary>A take built from sounds: what the aligner would have handed on.</summary>
internal sealed class TestTake
{
    private readonly List<Placement> _placements = [];
    private readonly Dictionary<Clip, ClipSound> _sounds = [];

    /// <summary>Where samples are kept for who asks for them; null where they are not.</summary>
    public string? SampleFolder { get; init; }

    /// <summary>Adds a clip whose channels are given in order with their roles.</summary>
    public TestTake Clip(
        string device, DeviceKind kind, double startSeconds, params (MicRole Role, float[] Samples)[] channels) =>
        Clip(device, kind, startSeconds, ppm: 0, channels);

    public TestTake Clip(
        string device, DeviceKind kind, double startSeconds, double ppm, params (MicRole Role, float[] Samples)[] channels)
    {
        MediaTime duration = MediaTime.FromUnits(channels[0].Samples.Length, new Rate(TestSound.Rate));
        string name = FormattableString.Invariant($"{device}/{device}_{_placements.Count + 1:000}.wav");
        var media = new MediaInfo(
            new MediaFile(name, "/dump/" + name, 1), "wav", MediaTime.Zero, duration, [],
            [new AudioStream(0, "pcm_s24le", TestSound.Rate, channels.Length, MediaTime.Zero, duration)],
            null, null, null);
        var clip = new Clip(
            media, new Device(device, kind, kind == DeviceKind.Camera ? "wide" : null, null),
            [.. channels.Select((channel, index) => new MicChannel(index, channel.Role))], "named by the test");
        float[][] samples = [.. channels.Select(channel => channel.Samples)];
        _sounds.Add(clip, TestSound.Measure(samples) with { Samples = Kept(samples) });
        _placements.Add(new Placement(
            clip, new ClockMap(MediaTime.FromSeconds(startSeconds), ppm), 0, MediaTime.Zero, 1, null, 0, [], []));
        return this;
    }

    private SoundStore? Kept(float[][] samples)
    {
        if (SampleFolder is null)
        {
            return null;
        }

        var store = new SoundStore(samples.Length, SampleFolder);
        store.Hear(new SoundBlock(TestSound.Rate, samples, samples[0].Length, samples, samples[0].Length));
        store.Finish();
        return store;
    }

    /// <summary>The track of a lavalier alone that rolls for the whole take.</summary>
    public static MicTrack Track(float[] samples)
    {
        TestTake take = new TestTake().Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, samples));
        Placement placement = take._placements[0];
        return MicTrack.Of(
            new MicSource(placement, placement.Clip.Mics[0]),
            take._sounds[placement.Clip],
            TakeGrid.Over(placement.CommonRange))!;
    }

    public TakeSound Choose(double fromSeconds, double toSeconds, params MicCorrection[] corrections) =>
        MicSelector.Choose(Take(fromSeconds, toSeconds), clip => _sounds[clip], corrections);

    public TakeMics Mics(double fromSeconds, double toSeconds) => TakeMics.Of(Take(fromSeconds, toSeconds), clip => _sounds[clip]);

    private Take Take(double fromSeconds, double toSeconds) =>
        new("take 1", TimeRange.Between(MediaTime.FromSeconds(fromSeconds), MediaTime.FromSeconds(toSeconds)), [.. _placements]);

    /// <summary>The share of a stretch of the common clock in which a mic of this role is heard.</summary>
    public static double Share(TakeSound sound, MicRole role, double from, double to) =>
        Share(sound, role, from, to, _ => true);

    /// <summary>The same over those hundredths of a second that count.</summary>
    public static double Share(TakeSound sound, MicRole role, double from, double to, Func<double, bool> counts)
    {
        int all = 0, with = 0;
        for (double at = from + 0.005; at < to; at += 0.01)
        {
            if (counts(at))
            {
                all++;
                with += RoleAt(sound, at) == role ? 1 : 0;
            }
        }

        return (double)with / all;
    }

    public static MicRole? RoleAt(TakeSound sound, double seconds) =>
        sound.Segments.FirstOrDefault(s => s.CommonRange.Contains(MediaTime.FromSeconds(seconds)))?.Source.Mic.Role;

    /// <summary>Shown beside a test that fails.</summary>
    public static void Tell(TakeSound sound, ITestOutputHelper output) => output.WriteLine(string.Join('\n', Story(sound)));

    public static ImmutableArray<string> Story(TakeSound sound) =>
    [
        .. sound.Segments.Select(s => FormattableString.Invariant(
            $"{s.CommonRange.Start.ToSeconds():0.00}-{s.CommonRange.End.ToSeconds():0.00} {s.Reason}")),
        .. sound.Faults.Select(f => FormattableString.Invariant(
            $"   {f.Source.Mic.Role} {f.Kind} {f.CommonRange.Start.ToSeconds():0.00}-{f.CommonRange.End.ToSeconds():0.00}")),
    ];
}
