using System.Buffers.Binary;
using System.Text;

namespace SyncBench.Media;

/// <summary>
/// What the header of a WAVE file claims of its sound, and what the file holds: RIFF, RF64 (EBU Tech 3306) and BW64 (ITU-R
/// BS.2088). A recorder writes the length last, so after a loss of power the two differ.
/// </summary>
/// <param name="Form">"RIFF", "RF64" or "BW64".</param>
/// <param name="BlockBytes">Of one sample of all channels.</param>
/// <param name="ClaimedBytes">Of the data chunk; null where the header was never finished.</param>
/// <param name="HeldBytes">From the beginning of the sound to its end, or to that of the file.</param>
internal sealed record WaveHeader(string Form, int FormatTag, int Channels, long SampleRateHz, int BlockBytes, long? ClaimedBytes, long HeldBytes)
{
    /// <summary>A real file has about ten; a damaged one may look as if it had a chunk at every eighth byte.</summary>
    private const int MostChunks = 1000;

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
        Span<byte> head = stackalloc byte[24];
        if (file.ReadAtLeast(head[..12], 12, throwOnEndOfStream: false) < 12
            || Id(head) is not ("RIFF" or "RF64" or "BW64") || Id(head[8..]) != "WAVE")
        {
            return null;
        }

        string form = Id(head);
        (int Tag, int Channels, long Rate, int Block)? format = null;
        ulong? bytesByDs64 = null;
        long at = 12;
        for (int n = 0; n < MostChunks && at + 8 <= file.Length; n++)
        {
            file.Position = at;
            file.ReadExactly(head[..8]);
            string id = Id(head);
            uint bytes = BinaryPrimitives.ReadUInt32LittleEndian(head[4..]);
            if (id == "data")
            {
                return format is { } f
                    ? new WaveHeader(form, f.Tag, f.Channels, f.Rate, f.Block, Claimed(file, at + 8, bytes, bytesByDs64), Held(file, at + 8, bytes, bytesByDs64))
                    : null;
            }

            if (id == "fmt " && file.ReadAtLeast(head[..16], 16, throwOnEndOfStream: false) == 16)
            {
                format = (BinaryPrimitives.ReadUInt16LittleEndian(head), BinaryPrimitives.ReadUInt16LittleEndian(head[2..]),
                    BinaryPrimitives.ReadUInt32LittleEndian(head[4..]), BinaryPrimitives.ReadUInt16LittleEndian(head[12..]));
            }
            else if (id == "ds64" && file.ReadAtLeast(head[..16], 16, throwOnEndOfStream: false) == 16)
            {
                bytesByDs64 = BinaryPrimitives.ReadUInt64LittleEndian(head[8..]);
            }

            at += 8 + bytes + (bytes & 1); // chunks begin at even places
        }

        return null;
    }

    private static long? Claimed(Stream file, long dataAt, uint bytes, ulong? bytesByDs64) => (bytes, bytesByDs64) switch
    {
        (uint.MaxValue, null) => null,
        (uint.MaxValue, 0) => IsFollowedByAChunk(file, dataAt) ? 0 : null,
        (uint.MaxValue, { } far) => (long)Math.Min(far, long.MaxValue / 2),
        (0, _) => IsFollowedByAChunk(file, dataAt) || file.Length == dataAt ? 0 : null,
        _ => bytes,
    };

    /// <summary>What stands behind the claimed end is sound too, unless it is a chunk.</summary>
    private static long Held(Stream file, long dataAt, uint bytes, ulong? bytesByDs64)
    {
        long there = file.Length - dataAt;
        return Claimed(file, dataAt, bytes, bytesByDs64) is { } claimed && claimed < there
            && (there - claimed < 8 || IsFollowedByAChunk(file, dataAt + claimed + (claimed & 1)))
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

    private static string Id(ReadOnlySpan<byte> head) => Encoding.Latin1.GetString(head[..4]);
}
