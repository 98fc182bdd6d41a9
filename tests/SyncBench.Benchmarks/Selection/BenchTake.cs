using System.Globalization;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Selection;
using SyncBench.Signal;
using SyncBench.Time;

namespace SyncBench.Benchmarks.Selection;

/// <summary>A take made of arrays, measured by the listeners of the streaming pass: a device for each mic, all on true time.</summary>
internal sealed class BenchTake
{
    private const int Rate = Air.SampleRateHz;
    private const int BlockSamples = 1 << 14;

    private readonly Take _take;
    private readonly Dictionary<Clip, ClipSound> _sounds = [];

    internal BenchTake(IReadOnlyList<MicPlan> mics, IReadOnlyList<float[]> sounds)
    {
        var placements = new List<Placement>();
        for (int i = 0; i < mics.Count; i++)
        {
            MediaTime duration = MediaTime.FromUnits(sounds[i].Length, new Rate(Rate));
            string name = string.Create(CultureInfo.InvariantCulture, $"{mics[i].Name}/{i + 1}.wav");
            var media = new MediaInfo(
                new MediaFile(name, name, 1), "wav", MediaTime.Zero, duration, [],
                [new AudioStream(0, "pcm_s16le", Rate, 1, MediaTime.Zero, duration)], null, null, null);
            var clip = new Clip(
                media, new Device(mics[i].Name, i == 0 ? DeviceKind.Recorder : DeviceKind.Camera, null, null),
                [new MicChannel(0, mics[i].Role)], "made by the benchmark");
            _sounds.Add(clip, Measure(sounds[i]));
            placements.Add(new Placement(clip, new ClockMap(MediaTime.Zero, 0), 0, MediaTime.Zero, 1, null, 0, [], []));
        }

        _take = new Take("take 1", placements[0].CommonRange, [.. placements]);
    }

    /// <summary>The device of a source is named after its mic.</summary>
    internal TakeSound Choose(params MicCorrection[] corrections) => MicSelector.Choose(_take, clip => _sounds[clip], corrections);

    private static ClipSound Measure(float[] sound)
    {
        var resampler = new RationalResampler(Rate, 16_000);
        float[] analysis = new float[resampler.MaxOutput(BlockSamples) + 4096];
        var listener = new SelectionListeners(channels: 1);
        for (int at = 0; at < sound.Length; at += BlockSamples)
        {
            float[] full = sound[at..Math.Min(sound.Length, at + BlockSamples)];
            int count = resampler.Process(full, analysis);
            listener.Hear(new SoundBlock(Rate, [full], full.Length, [analysis], count));
        }

        int last = resampler.Finish(analysis);
        listener.Hear(new SoundBlock(Rate, [[]], 0, [analysis], last));
        listener.Finish();
        return listener.Sound;
    }
}
