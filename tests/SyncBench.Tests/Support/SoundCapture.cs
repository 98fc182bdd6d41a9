using SyncBench.Media;

namespace SyncBench.Tests.Support;

/// <summary>Keeps all it hears: sound of a channel at the file's rate and at the analysis rate.</summary>
internal sealed class SoundCapture(int channels) : ISoundListener
{
    private readonly List<float>[] _full = [.. Enumerable.Range(0, channels).Select(_ => new List<float>())];
    private readonly List<float>[] _analysis = [.. Enumerable.Range(0, channels).Select(_ => new List<float>())];

    internal int Finished { get; private set; }

    internal int SampleRateHz { get; private set; }

    internal float[] Full(int channel) => [.. _full[channel]];

    internal float[] Analysis(int channel) => [.. _analysis[channel]];

    public void Hear(SoundBlock block)
    {
        SampleRateHz = block.SampleRateHz;
        for (int channel = 0; channel < channels; channel++)
        {
            _full[channel].AddRange(block.Full(channel));
            _analysis[channel].AddRange(block.Analysis(channel));
        }
    }

    public void Finish() => Finished++;

    internal static async Task<(SoundCapture Sound, SoundReading Reading)> OfAsync(MediaInfo media)
    {
        var capture = new SoundCapture(media.Channels);
        SoundReading reading = await SoundReader.ReadAsync(media, [capture], null, CancellationToken.None);
        return (capture, reading);
    }
}
