using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;

namespace SyncBench.Timeline.Dialogue;

/// <summary>
/// The sound of one dialogue on its way to a file, in a scratch file that vanishes with it: stretches arrive in the order
/// of the clips they come from. What nothing was written to is silence.
/// </summary>
/// <remarks>32-bit floats, so that nothing can clip before the whole is known. Safe from several threads.</remarks>
internal sealed class DialogueTrack : IDisposable
{
    private readonly SafeFileHandle _file;

    /// <param name="folder">An existing folder for scratch files.</param>
    internal DialogueTrack(long samples, string folder)
    {
        Samples = samples;
        _file = File.OpenHandle(
            Path.Combine(folder, Path.GetRandomFileName()),
            FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None, FileOptions.DeleteOnClose);
        RandomAccess.SetLength(_file, samples * sizeof(float));
    }

    internal long Samples { get; }

    internal void Write(long first, ReadOnlySpan<float> samples) =>
        RandomAccess.Write(_file, MemoryMarshal.AsBytes(samples), first * sizeof(float));

    /// <exception cref="ArgumentOutOfRangeException">It reaches out of the track.</exception>
    internal void Read(long first, Span<float> samples)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(first);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(first + samples.Length, Samples, nameof(first));
        Span<byte> bytes = MemoryMarshal.AsBytes(samples);
        for (long at = first * sizeof(float); !bytes.IsEmpty;)
        {
            int read = RandomAccess.Read(_file, bytes, at);
            if (read == 0)
            {
                throw new EndOfStreamException("A scratch file is shorter than it was made.");
            }

            at += read;
            bytes = bytes[read..];
        }
    }

    public void Dispose() => _file.Dispose();
}
