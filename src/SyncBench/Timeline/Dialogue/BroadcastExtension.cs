using System.Buffers.Binary;
using System.Globalization;
using System.Text;
using SyncBench.Signal.Loudness;

namespace SyncBench.Timeline.Dialogue;

/// <summary>The broadcast extension of a wave file: EBU Tech 3285, version 2 (field order and widths from memory).</summary>
/// <param name="Originated">Date and time of day at which the sound was made.</param>
/// <param name="TimeReference">Samples since midnight, at the file's own rate, of its first sample.</param>
/// <param name="CodingHistory">One line for each process, after EBU R 98.</param>
internal sealed record BroadcastExtension(
    string Description,
    string Originator,
    DateTimeOffset Originated,
    long TimeReference,
    LoudnessFigures Loudness,
    string CodingHistory)
{
    private const int FixedBytes = 602;

    /// <summary>What stands for "not known" in the loudness fields.</summary>
    private const short Unknown = 0x7FFF;

    /// <summary>The content of the chunk, without its head.</summary>
    internal byte[] ToBytes()
    {
        byte[] history = Encoding.ASCII.GetBytes(CodingHistory);
        var bytes = new byte[FixedBytes + history.Length];
        Text(bytes.AsSpan(0, 256), Description);
        Text(bytes.AsSpan(256, 32), Originator);
        Text(bytes.AsSpan(320, 10), Originated.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));
        Text(bytes.AsSpan(330, 8), Originated.ToString("HH:mm:ss", CultureInfo.InvariantCulture));
        BinaryPrimitives.WriteInt64LittleEndian(bytes.AsSpan(338), TimeReference);
        BinaryPrimitives.WriteUInt16LittleEndian(bytes.AsSpan(346), 2);
        double[] values =
        [
            Loudness.IntegratedLufs, Loudness.RangeLu, Loudness.TruePeakDb, Loudness.MomentaryLufs, Loudness.ShortTermLufs,
        ];
        for (int i = 0; i < values.Length; i++)
        {
            BinaryPrimitives.WriteInt16LittleEndian(bytes.AsSpan(412 + (2 * i)), Hundredths(values[i]));
        }

        history.CopyTo(bytes.AsSpan(FixedBytes));
        return bytes;
    }

    private static short Hundredths(double value) =>
        double.IsFinite(value) && Math.Abs(value) < 300 ? (short)Math.Round(100 * value) : Unknown;

    /// <summary>Plain ASCII, as the standard asks; what is not becomes a question mark, what is too long is cut.</summary>
    private static void Text(Span<byte> field, string text) =>
        Encoding.ASCII.GetBytes(text.AsSpan(0, Math.Min(text.Length, field.Length)), field);
}
