using System.Collections.Concurrent;
using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Selection;

namespace SyncBench.Pipeline;

/// <summary>A small picture of every clip that has picture and could be read.</summary>
internal static class Thumbnails
{
    internal static async Task<ImmutableDictionary<MediaFile, ImmutableArray<byte>>> ReadAsync(
        DumpResult result, CancellationToken cancellation)
    {
        var read = new ConcurrentDictionary<MediaFile, ImmutableArray<byte>>();
        var options = new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount };
        await Parallel.ForEachAsync(result.Files.Where(file => file.Clip is { Media.Video.IsEmpty: false }), options, async (file, stop) =>
        {
            if (await Frame.FromTheMiddleAsync(file.Clip!.Media, stop) is { IsEmpty: false } jpeg)
            {
                read[file.File] = jpeg;
            }
        });
        return read.ToImmutableDictionary();
    }
}
