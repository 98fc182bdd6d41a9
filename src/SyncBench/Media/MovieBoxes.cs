using System.Buffers.Binary;
using System.Text;

namespace SyncBench.Media;

/// <summary>The outermost boxes of an MP4 or MOV file (ISO/IEC 14496-12, 4.2): whether it is whole.</summary>
/// <param name="HasIndex">Box "moov": where each frame lies. Cameras write it last.</param>
/// <param name="HasMedia">Box "mdat": the frames.</param>
/// <param name="MissingBytes">By which the last box reaches beyond the end of the file.</param>
internal sealed record MovieBoxes(bool HasIndex, bool HasMedia, long MissingBytes)
{
    /// <summary>A fragmented recording has two a second.</summary>
    private const int MostBoxes = 1_000_000;

    private static readonly string[] First = ["ftyp", "moov", "mdat", "wide", "free", "skip", "pnot"];

    /// <returns>Null where the file does not begin as such a file does.</returns>
    internal static MovieBoxes? Read(Stream file)
    {
        bool hasIndex = false, hasMedia = false;
        Span<byte> head = stackalloc byte[16];
        long at = 0;
        for (int n = 0; n < MostBoxes && at + 8 <= file.Length; n++)
        {
            file.Position = at;
            int read = file.ReadAtLeast(head, 16, throwOnEndOfStream: false);
            string kind = Encoding.Latin1.GetString(head[4..8]);
            if (at == 0 && !First.Contains(kind, StringComparer.Ordinal))
            {
                return null;
            }

            hasIndex |= kind == "moov";
            hasMedia |= kind == "mdat";
            ulong bytes = BinaryPrimitives.ReadUInt32BigEndian(head) switch
            {
                0 => (ulong)(file.Length - at), // to the end of the file
                1 when read == 16 => BinaryPrimitives.ReadUInt64BigEndian(head[8..]),
                { } few => few,
            };
            if (bytes < 8)
            {
                break; // no box is so short: what follows is not understood
            }

            if (bytes > (ulong)(file.Length - at))
            {
                return new MovieBoxes(hasIndex, hasMedia, (long)Math.Min(bytes - (ulong)(file.Length - at), long.MaxValue));
            }

            at += (long)bytes;
        }

        return new MovieBoxes(hasIndex, hasMedia, 0);
    }
}
