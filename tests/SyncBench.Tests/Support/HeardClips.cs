using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Tests.Support;

/// <summary>Clips made of arrays, as the streaming pass would deliver them; gone with this object.</summary>
internal sealed class HeardClips : IDisposable
{
    private readonly TemporaryFolder _folder = new();
    private readonly List<SoundStore> _stores = [];

    internal static Device Camera(string name) => new(name, DeviceKind.Camera, name, null);

    internal static Device Recorder(string name) => new(name, DeviceKind.Recorder, null, null);

    /// <param name="channels">Sound at the analysis rate.</param>
    internal HeardClip Add(Device device, string file, params float[][] channels)
    {
        var duration = MediaTime.FromUnits(channels[0].Length, SoundBlock.AnalysisRate);
        var media = new MediaInfo(
            new MediaFile(file, "/nowhere/" + file, 1), "wav", MediaTime.Zero, duration, [],
            [new AudioStream(0, "pcm", 16_000, channels.Length, MediaTime.Zero, duration)], null, null, null);
        MicRole role = device.Kind == DeviceKind.Camera ? MicRole.Scratch : MicRole.Lavalier;
        var clip = new Clip(
            media, device, [.. channels.Select((_, i) => new MicChannel(i, i == 0 ? role : MicRole.Shotgun))], "test");
        var store = new SoundStore(channels.Length, _folder.Path);
        _stores.Add(store);
        var bands = new BandLevelMeter(channels.Length);
        var block = new SoundBlock(16_000, channels, channels[0].Length, channels, channels[0].Length);
        bands.Hear(block);
        store.Hear(block);
        bands.Finish();
        store.Finish();
        return new HeardClip(clip, [.. channels.Select((_, i) => bands.Of(i))], store);
    }

    /// <summary>White noise, alike in every run.</summary>
    internal static float[] Noise(int seed, int samples, double rms)
    {
        var random = new Random(seed);
        float[] noise = new float[samples];
        for (int i = 0; i < samples; i++)
        {
            noise[i] = (float)(rms * 3.4641 * (random.NextDouble() - 0.5));
        }

        return noise;
    }

    public void Dispose()
    {
        foreach (SoundStore store in _stores)
        {
            store.Dispose();
        }

        _folder.Dispose();
    }
}
