using System.Collections.Immutable;
using System.IO.Hashing;
using SyncBench.Media;

namespace SyncBench.Intake.Integrity;

/// <summary>
/// Files that were copied twice, told before anything is decoded: of files of equal size a sixteenth of a megabyte at each of
/// sixteen places is compared. The checksums of the whole confirm it later.
/// </summary>
public static class SameContent
{
    private const int Places = 16;
    private const int PieceBytes = 1 << 16;

    /// <returns>Each later copy with the first file in order of path that it equals.</returns>
    public static ImmutableDictionary<MediaFile, MediaFile> Find(IEnumerable<MediaFile> files)
    {
        var copies = ImmutableDictionary.CreateBuilder<MediaFile, MediaFile>();
        foreach (IGrouping<long, MediaFile> size in files.Where(file => file.Bytes > 0).GroupBy(file => file.Bytes).Where(size => size.Skip(1).Any()))
        {
            foreach (IGrouping<UInt128, MediaFile> same in size
                .Select(file => (File: file, Digest: Digest(file))).Where(file => file.Digest is not null)
                .GroupBy(file => file.Digest!.Value, file => file.File))
            {
                MediaFile first = same.MinBy(file => file.Path, StringComparer.Ordinal)!;
                copies.AddRange(same.Where(file => file != first).Select(file => KeyValuePair.Create(file, first)));
            }
        }

        return copies.ToImmutable();
    }

    /// <returns>Null where the file cannot be read: other stages say so.</returns>
    private static UInt128? Digest(MediaFile file)
    {
        var hash = new XxHash128();
        byte[] piece = new byte[PieceBytes];
        try
        {
            using var handle = File.OpenHandle(file.FullPath);
            for (int place = 0; place < Places; place++)
            {
                long at = (long)((Int128)Math.Max(0, file.Bytes - PieceBytes) * place / (Places - 1));
                hash.Append(piece.AsSpan(0, RandomAccess.Read(handle, piece, at)));
            }
        }
        catch (Exception closed) when (closed is IOException or UnauthorizedAccessException)
        {
            return null;
        }

        return hash.GetCurrentHashAsUInt128();
    }
}
