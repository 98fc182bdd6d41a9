using Microsoft.Win32.SafeHandles;

namespace SyncBench.Media;

/// <summary>Bytes that are too many for memory, in a file that vanishes with this object, and with the process.</summary>
/// <remarks>Safe from several threads.</remarks>
internal sealed class ScratchFile : IDisposable
{
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

    public void Dispose() => _file.Dispose();
}
