using System.Buffers.Binary;
using System.Text;

namespace SyncBench.Timeline.Dialogue;

/// <summary>
/// Everything of a 24-bit wave file that stands before its samples: RIFF, or RF64 (EBU Tech 3306) where the file is
/// longer than 32 bits can say.
/// </summary>
/// <remarks>
/// Both are of one length: a chunk that readers pass over (JUNK) keeps the room in which RF64 says the true sizes (ds64),
/// as Tech 3306 advises, so that a tool can turn one into the other in place.
/// </remarks>
internal static class BroadcastWaveHeader
{
    internal const int BytesPerSample = 3;

    private const int SizesBytes = 28;
    private const uint SeeSizes = 0xFFFF_FFFF;

    /// <summary>The sub-format of WAVE_FORMAT_EXTENSIBLE that says PCM.</summary>
    private static readonly byte[] Pcm = new Guid("00000001-0000-0010-8000-00aa00389b71").ToByteArray();

    /// <param name="extension">Content of the bext chunk.</param>
    /// <param name="samples">Of each channel.</param>
    /// <param name="notes">Content of the iXML chunk; none where null.</param>
    internal static byte[] Of(byte[] extension, long samples, int rateHz, int channels = 1, byte[]? notes = null)
    {
        int frameBytes = channels * BytesPerSample;
        long dataBytes = samples * frameBytes;

        // More than two channels are to say on which speakers they belong: mics on none.
        bool isExtensible = channels > 2;
        int formatBytes = isExtensible ? 40 : 16;
        int length = 12 + 8 + SizesBytes + 8 + Even(extension.Length) + 8 + formatBytes + 8;
        length += notes is null ? 0 : 8 + Even(notes.Length);
        long riffBytes = length - 8 + dataBytes + (dataBytes % 2);
        bool isLarge = riffBytes >= SeeSizes;

        var header = new byte[length];
        Span<byte> left = header;
        Text(ref left, isLarge ? "RF64" : "RIFF");
        U32(ref left, isLarge ? SeeSizes : (uint)riffBytes);
        Text(ref left, "WAVE");
        Text(ref left, isLarge ? "ds64" : "JUNK");
        U32(ref left, SizesBytes);
        if (isLarge)
        {
            BinaryPrimitives.WriteInt64LittleEndian(left, riffBytes);
            BinaryPrimitives.WriteInt64LittleEndian(left[8..], dataBytes);
            BinaryPrimitives.WriteInt64LittleEndian(left[16..], samples);
        }

        left = left[SizesBytes..];
        Text(ref left, "bext");
        U32(ref left, (uint)extension.Length);
        extension.CopyTo(left);
        left = left[Even(extension.Length)..];
        if (notes is not null)
        {
            Text(ref left, "iXML");
            U32(ref left, (uint)notes.Length);
            notes.CopyTo(left);
            left = left[Even(notes.Length)..];
        }

        Text(ref left, "fmt ");
        U32(ref left, (uint)formatBytes);
        U16(ref left, (ushort)(isExtensible ? 0xFFFE : 1)); // 1: PCM
        U16(ref left, (ushort)channels);
        U32(ref left, (uint)rateHz);
        U32(ref left, (uint)(rateHz * frameBytes));
        U16(ref left, (ushort)frameBytes);
        U16(ref left, 8 * BytesPerSample);
        if (isExtensible)
        {
            U16(ref left, 22); // bytes that follow
            U16(ref left, 8 * BytesPerSample);
            U32(ref left, 0); // no speakers
            Pcm.CopyTo(left);
            left = left[Pcm.Length..];
        }

        Text(ref left, "data");
        U32(ref left, isLarge ? SeeSizes : (uint)dataBytes);
        return header;
    }

    private static int Even(int bytes) => bytes + (bytes % 2);

    private static void Text(ref Span<byte> left, string text)
    {
        Encoding.ASCII.GetBytes(text, left);
        left = left[text.Length..];
    }

    private static void U32(ref Span<byte> left, uint value)
    {
        BinaryPrimitives.WriteUInt32LittleEndian(left, value);
        left = left[4..];
    }

    private static void U16(ref Span<byte> left, ushort value)
    {
        BinaryPrimitives.WriteUInt16LittleEndian(left, value);
        left = left[2..];
    }
}
