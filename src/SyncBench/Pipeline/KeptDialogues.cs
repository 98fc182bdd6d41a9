using System.Collections.Immutable;
using System.Text.Json;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Signal.Loudness;
using SyncBench.Timeline;
using SyncBench.Timeline.Dialogue;

namespace SyncBench.Pipeline;

/// <summary>The dialogues of a run, rendered unless a run that was killed has left them.</summary>
/// <param name="scratchFolder">Where they are rendered if nothing is kept.</param>
internal sealed class KeptDialogues(KeptFolder? kept, string scratchFolder)
{
    private const string Ending = ".dialogue", SoundEnding = ".track";

    /// <summary>Whether a file of <see cref="KeptFolder"/> is of a dialogue.</summary>
    internal static bool IsOne(string path) => path.EndsWith(Ending, StringComparison.Ordinal) || path.EndsWith(SoundEnding, StringComparison.Ordinal);

    /// <param name="lost">Is told of each file whose sound could not be read whole, and why: what needs it is not kept.</param>
    /// <returns>In order of the takes; the caller disposes of them.</returns>
    internal async Task<ImmutableArray<DialogueSound>> RenderAsync(
        ImmutableArray<TakeSound> takes, TimelineModel timeline, IDictionary<MediaFile, string> lost, IProgress<double>? progress,
        CancellationToken cancellation)
    {
        DialoguePlan[] plans = [.. takes.Select(take => DialoguePlan.Of(take, timeline))];
        JsonSerializerOptions format = StageJson.Format(StageJson.Named(takes.SelectMany(take => take.Take.Placements).DistinctBy(placement => placement.Clip.File)));
        string[] paths = [.. plans.Select((plan, i) => kept?.PathOf("dialogue", MadeFrom(plan, i)) ?? string.Empty)];
        DialogueSound?[] sounds = [.. plans.Zip(paths, (plan, path) => kept?.Find(path, _ => Open(plan, path, format)))];
        int[] missing = [.. Enumerable.Range(0, sounds.Length).Where(i => sounds[i] is null)];
        try
        {
            DialogueMix[] mixes = [.. missing.Select(i => new DialogueMix(plans[i], kept is null
                ? new DialogueTrack(plans[i].Samples, scratchFolder) : DialogueTrack.Keep(plans[i].Samples, paths[i] + SoundEnding)))];
            ImmutableArray<DialogueSound> rendered = await DialogueRenderer.RenderAsync(
                mixes, (clip, problem) => lost[clip.File] = problem, progress, cancellation);
            for (int n = 0; n < missing.Length; n++)
            {
                int i = missing[n];
                sounds[i] = rendered[n];
                if (kept is not null && !plans[i].Stretches.Any(stretch => lost.ContainsKey(stretch.Source.Clip.File)))
                {
                    Keep(rendered[n], paths[i], format);
                }
            }
        }
        catch
        {
            Array.ForEach(sounds, sound => sound?.Dispose());
            throw;
        }

        return [.. sounds.OfType<DialogueSound>()];
    }

    /// <summary>All that a plan says, each placement but once: a take may have hundreds of stretches.</summary>
    private static object[] MadeFrom(DialoguePlan plan, int number) =>
    [
        number, plan.Take, plan.TimeReference, plan.CommonStart, plan.Samples,
        plan.Stretches.Select(stretch => (object[])
        [
            stretch.Source.Clip.File, stretch.Source.Mic, stretch.Gain, stretch.First, stretch.End, stretch.Begins, stretch.Ends, stretch.MicTime,
        ]),
    ];

    private static DialogueSound? Open(DialoguePlan plan, string path, JsonSerializerOptions format)
    {
        var found = StageJson.Read<Found>(path + Ending, format);
        return found is null ? null : new DialogueSound(
            plan.Take, plan.TimeReference, plan.CommonStart, DialogueTrack.Open(plan.Samples, path + SoundEnding, found.SoundHash),
            found.Changes, found.Gain, found.Loudness);
    }

    private static void Keep(DialogueSound sound, string path, JsonSerializerOptions format) => StageJson.Write(
        path + Ending, new Found(sound.Changes, sound.Gain, sound.Loudness, sound.Track.FlushToDisk()), format);

    private sealed record Found(ImmutableArray<DialogueChange> Changes, double Gain, LoudnessFigures Loudness, byte[] SoundHash);
}
