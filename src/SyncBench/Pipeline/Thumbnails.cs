using System.Collections.Concurrent;
using System.Collections.Immutable;
using SyncBench.Media;

namespace SyncBench.Pipeline;

/// <summary>A small picture of every clip that has picture and could be read.</summary>
internal static class Thumbnails
{
    internal static async Task<ImmutableDictionary<MediaFile, ImmutableArray<byte>>> ReadAsync(
        ImmutableArray<Clip> clips, CancellationToken cancellation)
    {
        var read = new ConcurrentDictionary<MediaFile, ImmutableArray<byte>>();
        var options = new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount };
        await Parallel.ForEachAsync(clips.Where(clip => !clip.Media.Video.IsEmpty), options, async (clip, stop) =>
        {
            if (await Frame.FromTheMiddleAsync(clip.Media, stop) is { IsEmpty: false } jpeg)
            {
                read[clip.File] = jpeg;
            }
        });
        return read.ToImmutableDictionary();
    }
}
