using System.Buffers.Binary;
using System.Text;

namespace SyncBench.Media;

/// <summary>
/// Walks the chunks of a WAVE file for one that ffprobe does not show: RIFF, RF64 (EBU Tech 3306) and BW64
/// (ITU-R BS.2088). Files are not trusted: no size in them is believed beyond the end of the file.
/// </summary>
internal static class WaveChunks
{
    /// <summary>A real file has about ten; a damaged one may look as if it had a chunk at every eighth byte.</summary>
    private const int MostChunks = 1000;

    private const uint SizeIsInDs64 = uint.MaxValue;

    /// <param name="mostBytes">A longer chunk is a problem, not a result.</param>
    /// <returns>Both null where the file has no such chunk.</returns>
    internal static (byte[]? Data, string? Problem) Find(Stream file, string id, int mostBytes)
    {
        Span<byte> head = stackalloc byte[12];
        if (file.ReadAtLeast(head, head.Length, throwOnEndOfStream: false) < head.Length
            || Text(head[..4]) is not ("RIFF" or "RF64" or "BW64") || Text(head[8..12]) != "WAVE")
        {
            return (null, null);
        }

        long dataBytes = 0;
        long at = head.Length;
        for (int n = 0; n < MostChunks && at + 8 <= file.Length; n++)
        {
            file.Position = at;
            file.ReadExactly(head[..8]);
            string found = Text(head[..4]);
            long bytes = BinaryPrimitives.ReadUInt32LittleEndian(head[4..8]);
            if (found == id)
            {
                return Read(file, id, bytes, mostBytes);
            }

            if (found == "ds64" && bytes >= 16 && at + 24 <= file.Length)
            {
                file.Position += 8; // the size of the whole file
                file.ReadExactly(head[..8]);
                dataBytes = (long)Math.Min(BinaryPrimitives.ReadUInt64LittleEndian(head[..8]), long.MaxValue / 2);
            }
            else if (found == "data" && bytes == SizeIsInDs64)
            {
                bytes = dataBytes;
            }

            // Chunks begin at even places.
            at = Math.Min(file.Length, at + 8 + bytes + (bytes & 1));
        }

        return (null, null);
    }

    private static (byte[]? Data, string? Problem) Read(Stream file, string id, long bytes, int mostBytes)
    {
        if (bytes > mostBytes)
        {
            return (null, $"its {id} chunk claims {bytes} bytes, more than such a chunk ever holds");
        }

        if (file.Position + bytes > file.Length)
        {
            return (null, $"its {id} chunk is cut off");
        }

        byte[] data = new byte[bytes];
        file.ReadExactly(data);
        return (data, null);
    }

    private static string Text(ReadOnlySpan<byte> id) => Encoding.Latin1.GetString(id);
}
