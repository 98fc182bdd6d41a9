using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Timeline.Dialogue;

/// <summary>
/// Renders the dialogue of every take from the camera originals: the chosen mics on the reference clock, aligned to each
/// other, at one level, crossfaded.
/// </summary>
/// <remarks>Each file that has a chosen stretch is decoded a second time: docs/decisions/0004.</remarks>
internal static class DialogueRenderer
{
    /// <param name="mixes">One for each take.</param>
    /// <param name="lost">Is told of each clip whose sound could not be read whole, and why.</param>
    /// <returns>In order of the takes; the caller disposes of them.</returns>
    internal static async Task<ImmutableArray<DialogueSound>> RenderAsync(
        DialogueMix[] mixes, Action<Clip, string>? lost, IProgress<double>? progress, CancellationToken cancellation)
    {
        try
        {
            ClipStretches[] clips = [.. mixes.SelectMany(mix => mix.Slots)
                .GroupBy(slot => slot.Stretch.Source.Clip)
                .Select(slots => new ClipStretches(slots.Key, [.. slots]))
                .OrderByDescending(clip => clip.Until)];
            foreach ((Clip clip, string problem) in await ReadAsync(clips, progress, cancellation))
            {
                lost?.Invoke(clip, problem);
            }

            return [.. mixes.Select(mix => mix.Finish())];
        }
        catch
        {
            Array.ForEach(mixes, mix => mix.Dispose());
            throw;
        }
    }

    /// <returns>What could not be read, of which clip.</returns>
    private static async Task<IEnumerable<(Clip Clip, string Problem)>> ReadAsync(
        ClipStretches[] clips, IProgress<double>? progress, CancellationToken cancellation)
    {
        string?[] problems = new string?[clips.Length];
        double all = clips.Sum(clip => clip.Until.ToSeconds());
        double[] heard = new double[clips.Length];
        var options = new ParallelOptions
        {
            CancellationToken = cancellation,
            MaxDegreeOfParallelism = Environment.ProcessorCount,
        };
        await Parallel.ForEachAsync(Enumerable.Range(0, clips.Length), options, async (i, stop) =>
        {
            var each = new DirectProgress<MediaTime>(time =>
            {
                heard[i] = time.ToSeconds();
                progress?.Report(Math.Min(1, heard.Sum() / all));
            });
            problems[i] = (await SoundReader.ReadAsync(clips[i].Clip.Media, [clips[i]], each, stop, clips[i].Until)).Problem;
        });
        return clips.Zip(problems).Where(read => read.Second is not null).Select(read => (read.First.Clip, read.Second!));
    }
}
