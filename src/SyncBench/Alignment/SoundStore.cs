using System.Buffers;
using System.Globalization;
using System.Numerics.Tensors;
using System.Runtime.InteropServices;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>
/// Keeps a clip's sound at the analysis rate in a scratch file, so that alignment can read any stretch of it without
/// decoding again and without holding hours of sound in memory.
/// </summary>
/// <remarks>
/// Samples are kept as 16-bit floats: 66 dB of precision below whatever level they have, 115 MB an hour and channel.
/// The files vanish with the store, and with the process, unless they are to stay. Reading is safe from several threads.
/// </remarks>
public sealed class SoundStore : ISoundListener, IDisposable
{
    private const int BufferSamples = 1 << 16;

    private readonly ScratchFile[] _files;
    private readonly Half[][] _buffers;
    private long _written;
    private int _buffered;

    /// <param name="folder">An existing folder for scratch files.</param>
    public SoundStore(int channels, string folder)
        : this([.. Enumerable.Range(0, channels).Select(_ => new ScratchFile(folder))])
    {
    }

    private SoundStore(ScratchFile[] files)
    {
        _files = files;
        _buffers = [.. files.Select(_ => new Half[BufferSamples])];
    }

    /// <summary>In files that stay, one a channel: their names begin with <paramref name="path"/>.</summary>
    internal static SoundStore Keep(int channels, string path) =>
        new([.. Enumerable.Range(0, channels).Select(channel => ScratchFile.Keep(FileOf(path, channel)))]);

    /// <summary>That of <see cref="Keep"/>, once it was flushed.</summary>
    /// <exception cref="IOException">Its files are gone.</exception>
    /// <exception cref="InvalidDataException">They hold other than these samples.</exception>
    internal static SoundStore Open(int channels, string path, long samples, ReadOnlySpan<byte> hash)
    {
        var files = new List<ScratchFile>();
        try
        {
            for (int channel = 0; channel < channels; channel++)
            {
                files.Add(ScratchFile.Open(
                    FileOf(path, channel), samples * sizeof(ushort), hash.Slice(channel * ScratchFile.HashBytes, ScratchFile.HashBytes)));
            }

            return new SoundStore([.. files]) { _written = samples };
        }
        catch
        {
            files.ForEach(file => file.Dispose());
            throw;
        }
    }

    /// <summary>Of the samples of one channel after the other, once they were flushed.</summary>
    internal byte[] Hash() => [.. _files.SelectMany(file => file.Hash())];

    /// <summary>Sees to it that a power cut loses nothing of what was heard.</summary>
    internal void FlushToDisk() => Array.ForEach(_files, file => file.Flush());

    public int Channels => _files.Length;

    /// <summary>Samples of one channel, at <see cref="SoundBlock.AnalysisRate"/>.</summary>
    public long Samples => _written + _buffered;

    public MediaTime Duration => MediaTime.FromUnits(Samples, SoundBlock.AnalysisRate);

    public void Hear(SoundBlock block)
    {
        int length = block.Analysis(0).Length;
        for (int done = 0; done < length;)
        {
            int count = Math.Min(length - done, BufferSamples - _buffered);
            for (int channel = 0; channel < Channels; channel++)
            {
                TensorPrimitives.ConvertToHalf(
                    block.Analysis(channel).Slice(done, count), _buffers[channel].AsSpan(_buffered));
            }

            _buffered += count;
            done += count;
            if (_buffered == BufferSamples)
            {
                Flush();
            }
        }
    }

    public void Finish() => Flush();

    /// <summary>Copies samples from <paramref name="first"/> on; what lies outside the clip reads as silence.</summary>
    public void Read(int channel, long first, Span<float> samples)
    {
        long from = Math.Clamp(first, 0, _written), to = Math.Clamp(first + samples.Length, 0, _written);
        samples[..(int)Math.Min(samples.Length, Math.Max(0, from - first))].Clear();
        Span<float> inside = samples.Slice((int)Math.Min(samples.Length, Math.Max(0, from - first)));
        int count = (int)Math.Min(inside.Length, Math.Max(0, to - from));
        inside[count..].Clear();
        Half[] halves = ArrayPool<Half>.Shared.Rent(count);
        _files[channel].Read(from * sizeof(ushort), MemoryMarshal.AsBytes(halves.AsSpan(0, count)));
        TensorPrimitives.ConvertToSingle(halves.AsSpan(0, count), inside[..count]);
        ArrayPool<Half>.Shared.Return(halves);
    }

    public void Dispose()
    {
        foreach (ScratchFile file in _files)
        {
            file.Dispose();
        }
    }

    private static string FileOf(string path, int channel) => string.Create(CultureInfo.InvariantCulture, $"{path}.{channel}");

    private void Flush()
    {
        for (int channel = 0; channel < Channels; channel++)
        {
            _files[channel].Write(_written * sizeof(ushort), MemoryMarshal.AsBytes(_buffers[channel].AsSpan(0, _buffered)));
        }

        _written += _buffered;
        _buffered = 0;
    }
}
