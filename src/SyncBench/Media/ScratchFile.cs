using System.IO.Hashing;
using Microsoft.Win32.SafeHandles;

namespace SyncBench.Media;

/// <summary>Bytes that are too many for memory, in a file that vanishes with this object, and with the process.</summary>
/// <remarks>Safe from several threads.</remarks>
internal sealed class ScratchFile : IDisposable
{
    internal const int HashBytes = 16;

    private readonly SafeFileHandle _file;

    /// <param name="folder">An existing folder.</param>
    /// <param name="length">What was not written reads as zeros up to here.</param>
    internal ScratchFile(string folder, long length = 0)
    {
        _file = File.OpenHandle(
            Path.Combine(folder, Path.GetRandomFileName()),
            FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None, FileOptions.DeleteOnClose);
        if (length > 0)
        {
            RandomAccess.SetLength(_file, length);
        }
    }

    private ScratchFile(SafeFileHandle file) => _file = file;

    /// <summary>Bytes in a file that stays; one of its name is written anew.</summary>
    /// <param name="length">What was not written reads as zeros up to here.</param>
    internal static ScratchFile Keep(string path, long length = 0)
    {
        SafeFileHandle file = File.OpenHandle(path, FileMode.Create, FileAccess.ReadWrite, FileShare.None);
        if (length > 0)
        {
            RandomAccess.SetLength(file, length);
        }

        return new ScratchFile(file);
    }

    /// <summary>Those of <see cref="Keep"/>, to be read.</summary>
    /// <exception cref="InvalidDataException">They are not those that had this <see cref="Hash"/>.</exception>
    internal static ScratchFile Open(string path, long length, ReadOnlySpan<byte> hash)
    {
        var file = new ScratchFile(File.OpenHandle(path));
        if (RandomAccess.GetLength(file._file) == length && file.Hash().AsSpan().SequenceEqual(hash))
        {
            return file;
        }

        file.Dispose();
        throw new InvalidDataException($"{path} is not what was written to it.");
    }

    /// <summary>Sees to it that a power cut loses nothing of it.</summary>
    internal void Flush() => RandomAccess.FlushToDisk(_file);

    internal void Write(long at, ReadOnlySpan<byte> bytes) => RandomAccess.Write(_file, bytes, at);

    /// <summary>Fills all of <paramref name="bytes"/>.</summary>
    /// <exception cref="EndOfStreamException">There are fewer.</exception>
    internal void Read(long at, Span<byte> bytes)
    {
        while (!bytes.IsEmpty)
        {
            int read = RandomAccess.Read(_file, bytes, at);
            if (read == 0)
            {
                throw new EndOfStreamException("A scratch file is shorter than what was written to it.");
            }

            bytes = bytes[read..];
            at += read;
        }
    }

    /// <summary>XXH128 of all that it holds, once it was flushed.</summary>
    internal byte[] Hash()
    {
        var hash = new XxHash128();
        byte[] some = new byte[1 << 20];
        long at = 0;
        for (int read; (read = RandomAccess.Read(_file, some, at)) > 0; at += read)
        {
            hash.Append(some.AsSpan(0, read));
        }

        return hash.GetHashAndReset();
    }

    public void Dispose() => _file.Dispose();
}
