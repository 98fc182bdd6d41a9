using System.Buffers.Binary;
using System.Text;

namespace SyncBench.Media;

/// <summary>A chunk of a WAVE file.</summary>
/// <param name="DataAt">Where its content begins.</param>
/// <param name="Bytes">Length of the content as the chunk itself claims it.</param>
/// <param name="BytesByDs64">Length of the sound, where a chunk ds64 before it has told; it counts for "data" alone.</param>
internal readonly record struct WaveChunk(string Id, long DataAt, uint Bytes, ulong? BytesByDs64)
{
    internal const uint SizeIsInDs64 = uint.MaxValue;
}

/// <summary>
/// Walks the chunks of a WAVE file: RIFF, RF64 (EBU Tech 3306) and BW64 (ITU-R BS.2088). Files are not trusted: no size in
/// them is believed beyond the end of the file.
/// </summary>
internal static class WaveChunks
{
    /// <summary>A real file has about ten; a damaged one may look as if it had a chunk at every eighth byte.</summary>
    private const int MostChunks = 1000;

    private const int HeadBytes = 8, FormBytes = 12, Ds64Bytes = 16;

    /// <summary>"RIFF", "RF64" or "BW64"; null where the file does not begin as a WAVE file does.</summary>
    internal static string? Form(Stream file)
    {
        Span<byte> head = stackalloc byte[FormBytes];
        file.Position = 0;
        return file.ReadAtLeast(head, head.Length, throwOnEndOfStream: false) == head.Length
            && Text(head[..4]) is "RIFF" or "RF64" or "BW64" && Text(head[8..]) == "WAVE"
                ? Text(head[..4])
                : null;
    }

    /// <param name="file">A WAVE file by its <see cref="Form"/>; its position may be moved between two chunks.</param>
    internal static IEnumerable<WaveChunk> In(Stream file)
    {
        byte[] head = new byte[Ds64Bytes];
        ulong? bytesByDs64 = null;
        long at = FormBytes;
        for (int n = 0; n < MostChunks && at + HeadBytes <= file.Length; n++)
        {
            file.Position = at;
            file.ReadExactly(head, 0, HeadBytes);
            string id = Text(head.AsSpan(0, 4));
            uint bytes = BinaryPrimitives.ReadUInt32LittleEndian(head.AsSpan(4));
            if (id == "ds64" && bytes >= Ds64Bytes && at + HeadBytes + Ds64Bytes <= file.Length)
            {
                file.ReadExactly(head, 0, Ds64Bytes); // the size of the file, then that of the sound
                bytesByDs64 = BinaryPrimitives.ReadUInt64LittleEndian(head.AsSpan(8));
            }

            yield return new WaveChunk(id, at + HeadBytes, bytes, bytesByDs64);
            long length = id == "data" && bytes == WaveChunk.SizeIsInDs64 ? (long)Math.Min(bytesByDs64 ?? 0, long.MaxValue / 2) : bytes;
            at = Math.Min(file.Length, at + HeadBytes + length + (length & 1)); // chunks begin at even places
        }
    }

    /// <param name="mostBytes">A longer chunk is a problem, not a result.</param>
    /// <returns>Content of the first chunk of that name; both null where there is none.</returns>
    internal static (byte[]? Data, string? Problem) Find(Stream file, string id, int mostBytes)
    {
        WaveChunk? found = Form(file) is null ? null : In(file).Select(chunk => (WaveChunk?)chunk).FirstOrDefault(chunk => chunk!.Value.Id == id);
        return found is { } chunk ? Read(file, chunk, mostBytes) : (null, null);
    }

    private static (byte[]? Data, string? Problem) Read(Stream file, WaveChunk chunk, int mostBytes)
    {
        if (chunk.Bytes > mostBytes)
        {
            return (null, $"its {chunk.Id} chunk claims {chunk.Bytes} bytes, more than such a chunk ever holds");
        }

        if (chunk.DataAt + chunk.Bytes > file.Length)
        {
            return (null, $"its {chunk.Id} chunk is cut off");
        }

        byte[] data = new byte[chunk.Bytes];
        file.Position = chunk.DataAt;
        file.ReadExactly(data);
        return (data, null);
    }

    private static string Text(ReadOnlySpan<byte> id) => Encoding.Latin1.GetString(id);
}
