using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Timeline.Dialogue;

/// <summary>
/// Renders the dialogue of every take from the camera originals: the chosen mics on the reference clock, aligned to each
/// other, at one level, crossfaded.
/// </summary>
/// <remarks>Each file that has a chosen stretch is decoded a second time: docs/decisions/0004.</remarks>
internal sealed class DialogueRenderer(string scratchFolder)
{
    /// <returns>In order of the takes; the caller disposes of them.</returns>
    internal async Task<ImmutableArray<DialogueSound>> RenderAsync(
        IEnumerable<TakeSound> takes, TimelineModel timeline, IProgress<double>? progress, CancellationToken cancellation)
    {
        DialogueMix[] mixes = [.. takes.Select(take => new DialogueMix(DialoguePlan.Of(take, timeline), scratchFolder))];
        try
        {
            ClipStretches[] clips = [.. mixes.SelectMany(mix => mix.Slots)
                .GroupBy(slot => slot.Stretch.Source.Clip)
                .Select(slots => new ClipStretches(slots.Key, [.. slots]))
                .OrderByDescending(clip => clip.Until)];
            await ReadAsync(clips, progress, cancellation);
            return [.. mixes.Select(mix => mix.Finish())];
        }
        catch
        {
            Array.ForEach(mixes, mix => mix.Dispose());
            throw;
        }
    }

    private static async Task ReadAsync(ClipStretches[] clips, IProgress<double>? progress, CancellationToken cancellation)
    {
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
            await SoundReader.ReadAsync(clips[i].Clip.Media, [clips[i]], each, stop, clips[i].Until);
        });
    }
}
