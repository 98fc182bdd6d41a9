using System.Collections.Immutable;
using SyncBench.Media;

namespace SyncBench.Intake.Integrity;

/// <summary>How far the checksums of a dump are.</summary>
public sealed record HashProgress(string Path, long BytesDone, long BytesAll);

/// <summary>Checksums of many files, two at once. A file that cannot be read is an answer, not an exception.</summary>
public static class DumpHasher
{
    /// <summary>Keeps one disk busy while the end of a file is waited for; more make a spinning disk seek.</summary>
    private const int AtOnce = 2;

    /// <param name="kinds">Which checksums of a file are wanted.</param>
    /// <param name="done">Told each file at once, from several threads.</param>
    /// <returns>In the order of <paramref name="files"/>.</returns>
    public static async Task<ImmutableArray<HashedFile>> HashAsync(
        ImmutableArray<MediaFile> files,
        Func<MediaFile, ImmutableArray<HashKind>> kinds,
        Action<HashedFile>? done,
        IProgress<HashProgress>? progress,
        CancellationToken cancellation)
    {
        long all = files.Sum(file => file.Bytes), bytesDone = 0;
        var hashed = new HashedFile[files.Length];
        var options = new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = AtOnce };
        await Parallel.ForEachAsync(Enumerable.Range(0, files.Length), options, async (i, stop) =>
        {
            var read = new DirectProgress<long>(bytes =>
                progress?.Report(new HashProgress(files[i].Path, Interlocked.Add(ref bytesDone, bytes), all)));
            hashed[i] = await OneAsync(files[i], kinds(files[i]), read, stop);
            done?.Invoke(hashed[i]);
        });
        return [.. hashed];
    }

    private static async Task<HashedFile> OneAsync(
        MediaFile file, ImmutableArray<HashKind> kinds, IProgress<long> read, CancellationToken cancellation)
    {
        try
        {
            var before = new FileInfo(file.FullPath);
            DateTime changed = before.LastWriteTimeUtc;
            ImmutableArray<FileHash> hashes = await FileHasher.HashAsync(file.FullPath, kinds, read, cancellation);
            before.Refresh();
            return before.Exists && (before.Length != file.Bytes || before.LastWriteTimeUtc != changed)
                ? new HashedFile(
                    file, [], "the file changed while it was read, so it is still being copied or recorded: wait until that has ended, then run again",
                    IsGrowing: true)
                : new HashedFile(file, hashes, null);
        }
        catch (UnauthorizedAccessException)
        {
            return new HashedFile(file, [], "reading the file is not permitted: change its permissions, then run again");
        }
        catch (Exception gone) when (gone is FileNotFoundException or DirectoryNotFoundException)
        {
            return new HashedFile(
                file, [], "the file was there when the run began and is gone: check the disk's connection, then run again");
        }
        catch (IOException broken)
        {
            return new HashedFile(
                file, [], $"the file cannot be read to its end ({broken.Message.TrimEnd('.')}): check the disk, then copy the file again from the card");
        }
    }
}
