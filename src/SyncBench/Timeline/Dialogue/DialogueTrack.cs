using System.Runtime.InteropServices;
using SyncBench.Media;

namespace SyncBench.Timeline.Dialogue;

/// <summary>
/// The sound of one dialogue on its way to a file, in a scratch file that vanishes with it, unless it is to stay: stretches arrive in the order
/// of the clips they come from. What nothing was written to is silence.
/// </summary>
/// <remarks>32-bit floats, so that nothing can clip before the whole is known. Safe from several threads.</remarks>
internal sealed class DialogueTrack : IDisposable
{
    private readonly ScratchFile _file;

    /// <param name="folder">An existing folder for scratch files.</param>
    internal DialogueTrack(long samples, string folder)
    {
        Samples = samples;
        _file = new ScratchFile(folder, samples * sizeof(float));
    }

    private DialogueTrack(long samples, ScratchFile file) => (Samples, _file) = (samples, file);

    /// <summary>In a file that stays.</summary>
    internal static DialogueTrack Keep(long samples, string path) => new(samples, ScratchFile.Keep(path, samples * sizeof(float)));

    /// <summary>That of <see cref="Keep"/>, once it was flushed.</summary>
    /// <exception cref="IOException">Its file is gone.</exception>
    /// <exception cref="InvalidDataException">It holds other than these samples.</exception>
    internal static DialogueTrack Open(long samples, string path, ReadOnlySpan<byte> hash) =>
        new(samples, ScratchFile.Open(path, samples * sizeof(float), hash));

    /// <summary>Sees to it that a power cut loses nothing of it.</summary>
    /// <returns>Its hash.</returns>
    internal byte[] FlushToDisk()
    {
        _file.Flush();
        return _file.Hash();
    }

    internal long Samples { get; }

    internal void Write(long first, ReadOnlySpan<float> samples) =>
        _file.Write(first * sizeof(float), MemoryMarshal.AsBytes(samples));

    /// <exception cref="ArgumentOutOfRangeException">It reaches out of the track.</exception>
    internal void Read(long first, Span<float> samples)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(first);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(first + samples.Length, Samples, nameof(first));
        _file.Read(first * sizeof(float), MemoryMarshal.AsBytes(samples));
    }

    public void Dispose() => _file.Dispose();
}
