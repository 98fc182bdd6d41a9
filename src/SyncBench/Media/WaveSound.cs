using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Microsoft.Win32.SafeHandles;

namespace SyncBench.Media;

/// <summary>
/// The samples of a whole, uncompressed WAVE file, read without a decoder: the same numbers as ffmpeg gives, at a fraction of
/// the price.
/// </summary>
internal sealed class WaveSound
{
    private const int BufferSamples = 1 << 16;
    private const float FullScale = 1L << 31;

    private readonly string _path;
    private readonly WaveHeader _header;
    private readonly int _sampleBytes;
    private readonly bool _isFloat;

    private WaveSound(string path, WaveHeader header, int sampleBytes, bool isFloat) =>
        (_path, _header, _sampleBytes, _isFloat) = (path, header, sampleBytes, isFloat);

    /// <returns>Whether more is wanted.</returns>
    internal delegate bool Taker(ReadOnlySpan<float> samples);

    /// <returns>
    /// Null where the file is no such file, cannot be opened, or anything about it is wrong: then it is a matter for the decoder,
    /// which says why.
    /// </returns>
    internal static WaveSound? Of(MediaInfo media)
    {
        if (media is not { Format: "wav", Damage: null, ReadsToEnd: false, Audio: [{ } stream] })
        {
            return null;
        }

        (int bytes, bool isFloat) = stream.Codec switch
        {
            "pcm_s16le" => (2, false),
            "pcm_s24le" => (3, false),
            "pcm_s32le" => (4, false),
            "pcm_f32le" => (4, true),
            _ => (0, false),
        };
        return HeaderOf(media.File.FullPath) is { IsUncompressed: true, IsWrong: false } header
            && header.Channels == stream.Channels && header.SampleRateHz == stream.SampleRateHz
            && header.BlockBytes == bytes * header.Channels
                ? new WaveSound(media.File.FullPath, header, bytes, isFloat)
                : null;
    }

    private static WaveHeader? HeaderOf(string path)
    {
        try
        {
            using FileStream file = File.OpenRead(path);
            return WaveHeader.Read(file);
        }
        catch (IOException)
        {
            return null;
        }
    }

    /// <param name="give">Receives interleaved samples, in order.</param>
    /// <returns>False where the file turned out to be shorter than its header and its length said.</returns>
    /// <exception cref="IOException">The file cannot be read.</exception>
    internal bool Read(Taker give)
    {
        int atOnce = BufferSamples / _header.Channels * _header.Channels;
        byte[] bytes = new byte[(atOnce * _sampleBytes) + Vector128<byte>.Count];
        float[] samples = new float[atOnce];
        using SafeFileHandle file = File.OpenHandle(_path, options: FileOptions.SequentialScan);
        long end = _header.HeldBytes / _header.BlockBytes * _header.BlockBytes;
        for (long done = 0; done < end;)
        {
            int wanted = (int)Math.Min(atOnce * _sampleBytes, end - done), held = 0;
            for (int read = 1; held < wanted && read > 0; held += read)
            {
                read = RandomAccess.Read(file, bytes.AsSpan(held, wanted - held), _header.DataAt + done + held);
            }

            int count = held / _header.BlockBytes * _header.Channels;
            Convert(bytes, samples.AsSpan(0, count));
            if (!give(samples.AsSpan(0, count)))
            {
                return true;
            }

            if (held < wanted)
            {
                return false;
            }

            done += held;
        }

        return true;
    }

    /// <summary>Full scale is 1, as the decoder's is.</summary>
    /// <param name="bytes">Reaches a vector further than the samples.</param>
    private void Convert(ReadOnlySpan<byte> bytes, Span<float> samples)
    {
        switch (_sampleBytes)
        {
            case 2:
                ReadOnlySpan<short> shorts = MemoryMarshal.Cast<byte, short>(bytes);
                for (int n = 0; n < samples.Length; n++)
                {
                    samples[n] = shorts[n] * (1f / 32768);
                }

                break;
            case 3:
                From24(bytes, samples);
                break;
            case 4 when _isFloat:
                MemoryMarshal.Cast<byte, float>(bytes)[..samples.Length].CopyTo(samples);
                break;
            default:
                ReadOnlySpan<int> ints = MemoryMarshal.Cast<byte, int>(bytes);
                for (int n = 0; n < samples.Length; n++)
                {
                    samples[n] = ints[n] * (1 / FullScale);
                }

                break;
        }
    }

    private static void From24(ReadOnlySpan<byte> bytes, Span<float> samples)
    {
        // Three bytes to the upper three of four; an index that is out of the vector gives zero.
        Vector128<byte> places = Vector128.Create((byte)255, 0, 1, 2, 255, 3, 4, 5, 255, 6, 7, 8, 255, 9, 10, 11);
        ref byte from = ref MemoryMarshal.GetReference(bytes);
        ref float to = ref MemoryMarshal.GetReference(samples);
        int n = 0;
        for (; n <= samples.Length - Vector128<float>.Count; n += Vector128<float>.Count)
        {
            Vector128<int> four = Vector128.Shuffle(Vector128.LoadUnsafe(ref from, (nuint)(3 * n)), places).AsInt32();
            (Vector128.ConvertToSingle(four) * (1 / FullScale)).StoreUnsafe(ref to, (nuint)n);
        }

        for (; n < samples.Length; n++)
        {
            samples[n] = ((bytes[3 * n] << 8) | (bytes[(3 * n) + 1] << 16) | (bytes[(3 * n) + 2] << 24)) * (1 / FullScale);
        }
    }
}
