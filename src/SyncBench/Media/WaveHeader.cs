using System.Buffers.Binary;

namespace SyncBench.Media;

/// <summary>
/// What the header of a WAVE file claims of its sound, and what the file holds: RIFF, RF64 (EBU Tech 3306) and BW64 (ITU-R
/// BS.2088). A recorder writes the length last, so after a loss of power the two differ.
/// </summary>
/// <param name="Form">"RIFF", "RF64" or "BW64".</param>
/// <param name="BlockBytes">Of one sample of all channels.</param>
/// <param name="ClaimedBytes">Of the data chunk; null where the header was never finished.</param>
/// <param name="DataAt">Where the sound begins, in bytes.</param>
/// <param name="HeldBytes">From the beginning of the sound to its end, or to that of the file.</param>
internal sealed record WaveHeader(
    string Form, int FormatTag, int Channels, long SampleRateHz, int BlockBytes, long DataAt, long? ClaimedBytes, long HeldBytes)
{
    private const int Pcm = 1;
    private const int IeeeFloat = 3;
    private const int Extensible = 0xFFFE;

    /// <summary>Whether time follows from bytes: in compressed sound it does not.</summary>
    internal bool IsUncompressed => FormatTag is Pcm or IeeeFloat or Extensible && Channels > 0 && SampleRateHz > 0 && BlockBytes > 0;

    /// <summary>Whether the header tells another length than the file has, by more than a broken last sample.</summary>
    internal bool IsWrong => ClaimedBytes is not { } claimed || Math.Abs(claimed - HeldBytes) >= Math.Max(1, BlockBytes);

    internal double HeldSeconds => Seconds(HeldBytes);

    internal double? ClaimedSeconds => ClaimedBytes is { } bytes ? Seconds(bytes) : null;

    /// <returns>Null where this is no WAVE file, or one without format or sound.</returns>
    internal static WaveHeader? Read(Stream file)
    {
        if (WaveChunks.Form(file) is not { } form)
        {
            return null;
        }

        (int Tag, int Channels, long Rate, int Block)? format = null;
        foreach (WaveChunk chunk in WaveChunks.In(file))
        {
            if (chunk.Id == "data")
            {
                return format is { } f
                    ? new WaveHeader(form, f.Tag, f.Channels, f.Rate, f.Block, chunk.DataAt, Claimed(file, chunk), Held(file, chunk))
                    : null;
            }

            format = chunk.Id == "fmt " ? Format(file, chunk) ?? format : format;
        }

        return null;
    }

    private static (int Tag, int Channels, long Rate, int Block)? Format(Stream file, WaveChunk chunk)
    {
        Span<byte> format = stackalloc byte[16];
        file.Position = chunk.DataAt;
        return file.ReadAtLeast(format, format.Length, throwOnEndOfStream: false) == format.Length
            ? (BinaryPrimitives.ReadUInt16LittleEndian(format), BinaryPrimitives.ReadUInt16LittleEndian(format[2..]),
                BinaryPrimitives.ReadUInt32LittleEndian(format[4..]), BinaryPrimitives.ReadUInt16LittleEndian(format[12..]))
            : null;
    }

    private static long? Claimed(Stream file, WaveChunk data) => (data.Bytes, data.BytesByDs64) switch
    {
        (WaveChunk.SizeIsInDs64, null) => null,
        (WaveChunk.SizeIsInDs64, 0) => IsFollowedByAChunk(file, data.DataAt) ? 0 : null,
        (WaveChunk.SizeIsInDs64, { } far) => (long)Math.Min(far, long.MaxValue / 2),
        (0, _) => IsFollowedByAChunk(file, data.DataAt) || file.Length == data.DataAt ? 0 : null,
        _ => data.Bytes,
    };

    /// <summary>What stands behind the claimed end is sound too, unless it is a chunk.</summary>
    private static long Held(Stream file, WaveChunk data)
    {
        long there = file.Length - data.DataAt;
        return Claimed(file, data) is { } claimed && claimed < there
            && (there - claimed < 8 || IsFollowedByAChunk(file, data.DataAt + claimed + (claimed & 1)))
                ? claimed
                : there;
    }

    private static bool IsFollowedByAChunk(Stream file, long at)
    {
        if (at < 0 || at + 8 > file.Length)
        {
            return false;
        }

        Span<byte> head = stackalloc byte[8];
        file.Position = at;
        file.ReadExactly(head);
        return head[..4].IndexOfAnyExceptInRange((byte)' ', (byte)'~') < 0
            && at + 8 + BinaryPrimitives.ReadUInt32LittleEndian(head[4..]) <= file.Length + 1;
    }

    private double Seconds(long bytes) => IsUncompressed ? (double)(bytes / BlockBytes) / SampleRateHz : 0;
}
