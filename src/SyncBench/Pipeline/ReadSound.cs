using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;

namespace SyncBench.Pipeline;

/// <summary>The sound of all clips of a dump, when it has been read.</summary>
/// <param name="clips">In the order in which they were asked for.</param>
internal sealed class ReadSound(ImmutableArray<ReadClip> clips) : IDisposable
{
    private readonly Dictionary<MediaFile, SoundStore> _samples =
        clips.Where(clip => clip.Heard is not null).ToDictionary(clip => clip.Clip.File, clip => clip.Heard!.Sound);

    /// <summary>Empty when only samples are kept.</summary>
    public ImmutableArray<ReadClip> Clips { get; private set; } = clips;

    /// <summary>Null where the file has no sound.</summary>
    public SoundStore? SamplesOf(MediaFile file) => _samples.GetValueOrDefault(file);

    /// <summary>Lets go of what was measured, which for hours of sound is hundreds of megabytes.</summary>
    public void KeepSamplesOnly() => Clips = [];

    public void Dispose()
    {
        foreach (SoundStore samples in _samples.Values)
        {
            samples.Dispose();
        }
    }
}
