using System.Runtime.InteropServices;
using SyncBench.Media;

namespace SyncBench.Timeline.Dialogue;

/// <summary>
/// The sound of one dialogue on its way to a file, in a scratch file that vanishes with it: stretches arrive in the order
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
