using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Signal;
using SyncBench.Time;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>Clips made of arrays by the resampler, meter and store of the streaming pass; gone with this object.</summary>
internal sealed class BenchClips : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("syncbench-accuracy-").FullName;

    /// <param name="sound">At <paramref name="rateHz"/>.</param>
    internal HeardClip Hear(DeviceKind kind, string name, int rateHz, ReadOnlySpan<float> sound)
    {
        var resampler = new RationalResampler(rateHz, 16_000);
        float[] heard = new float[resampler.MaxOutput(sound.Length)];
        int count = resampler.Process(sound, heard);
        count += resampler.Finish(heard.AsSpan(count));

        var duration = MediaTime.FromUnits(sound.Length, new Rate(rateHz));
        var media = new MediaInfo(
            new MediaFile(name, name, 1), "wav", MediaTime.Zero, duration, [],
            [new AudioStream(0, "pcm", rateHz, 1, MediaTime.Zero, duration)], null, null, null);
        var clip = new Clip(
            media,
            new Device(name, kind, kind == DeviceKind.Camera ? "wide" : null, DistanceMetres: null),
            [new MicChannel(0, kind == DeviceKind.Camera ? MicRole.Scratch : MicRole.Lavalier)],
            "made by the benchmark");
        var store = new SoundStore(1, _folder);
        var bands = new BandLevelMeter(1);
        float[][] analysis = [heard];
        var block = new SoundBlock(16_000, analysis, count, analysis, count);
        bands.Hear(block);
        store.Hear(block);
        bands.Finish();
        store.Finish();
        return new HeardClip(clip, [bands.Of(0)], store);
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);
}
