using System.Buffers.Binary;
using System.Text;

namespace SyncBench.Tests.Support;

/// <summary>Writes WAVE files chunk by chunk, right or wrong, as a test needs them.</summary>
internal static class WaveFile
{
    internal static byte[] Chunk(string id, params byte[] data)
    {
        byte[] chunk = new byte[8 + data.Length + (data.Length % 2)];
        Encoding.Latin1.GetBytes(id, chunk);
        BinaryPrimitives.WriteUInt32LittleEndian(chunk.AsSpan(4), (uint)data.Length);
        data.CopyTo(chunk, 8);
        return chunk;
    }

    internal static byte[] Text(string id, string text) => Chunk(id, Encoding.UTF8.GetBytes(text));

    /// <summary>One channel of 16 bit silence at 48 kHz.</summary>
    internal static byte[] Format { get; } =
        Chunk("fmt ", 1, 0, 1, 0, 0x80, 0xBB, 0, 0, 0, 0x77, 1, 0, 2, 0, 16, 0);

    internal static byte[] Of(params byte[][] chunks) => Form("RIFF", chunks);

    internal static byte[] Form(string form, params byte[][] chunks)
    {
        byte[] body = [.. Encoding.Latin1.GetBytes("WAVE"), .. chunks.SelectMany(chunk => chunk)];
        return Chunk(form, body);
    }

    /// <summary>A data chunk whose size stands in ds64, and that ds64 before it (EBU Tech 3306).</summary>
    internal static byte[] Rf64(string form, byte[] samples, params byte[][] after)
    {
        byte[] sizes = new byte[28];
        BinaryPrimitives.WriteUInt64LittleEndian(sizes.AsSpan(8), (ulong)samples.Length);
        byte[] data = Chunk("data", samples);
        BinaryPrimitives.WriteUInt32LittleEndian(data.AsSpan(4), uint.MaxValue);
        byte[] whole = Form(form, [Chunk("ds64", sizes), Format, data, .. after]);
        BinaryPrimitives.WriteUInt32LittleEndian(whole.AsSpan(4), uint.MaxValue);
        return whole;
    }
}
