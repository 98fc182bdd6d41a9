using System.Collections.Immutable;
using Microsoft.Win32.SafeHandles;

namespace SyncBench.Intake.Integrity;

/// <summary>Checksums of one file in one reading: the next piece is read while the last is being counted.</summary>
public static class FileHasher
{
    /// <summary>Two pieces stay in a core's second cache, and a piece is far longer than handing it on takes.</summary>
    private const int PieceBytes = 1 << 18;

    /// <param name="read">Told the bytes of each piece.</param>
    /// <returns>One for each kind, in their order.</returns>
    /// <exception cref="IOException">The file cannot be read to its end.</exception>
    /// <exception cref="UnauthorizedAccessException">Reading the file is not permitted.</exception>
    public static async Task<ImmutableArray<FileHash>> HashAsync(
        string fullPath, ImmutableArray<HashKind> kinds, IProgress<long>? read, CancellationToken cancellation)
    {
        using SafeFileHandle file = File.OpenHandle(fullPath, options: FileOptions.SequentialScan, share: FileShare.ReadWrite);
        RunningHash[] hashes = [.. kinds.Select(RunningHash.Of)];
        try
        {
            byte[] current = new byte[PieceBytes], next = new byte[PieceBytes];
            long at = 0;
            int held = RandomAccess.Read(file, current, at);
            while (held > 0)
            {
                cancellation.ThrowIfCancellationRequested();
                at += held;
                long from = at;
                byte[] into = next;
                Task<int> reading = held < PieceBytes
                    ? Task.FromResult(RandomAccess.Read(file, into, from)) // the end, as a rule: not worth a thread
                    : Task.Run(() => RandomAccess.Read(file, into, from), CancellationToken.None);
                foreach (RunningHash hash in hashes)
                {
                    hash.Append(current.AsSpan(0, held));
                }

                read?.Report(held);
                held = await reading;
                (current, next) = (next, current);
            }

            return [.. hashes.Select(hash => hash.Finish())];
        }
        finally
        {
            foreach (RunningHash hash in hashes)
            {
                hash.Dispose();
            }
        }
    }
}
