using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>Stretches of a take in which some mic rolls and every mic that rolls is unfit to be heard: no good sound exists there.</summary>
/// <remarks>One sweep over all beginnings and ends, so its time grows with their number (times its logarithm, for sorting).</remarks>
internal static class EveryMicFaulty
{
    internal static IEnumerable<TimeRange> Of(TakeSound sound)
    {
        TimeRange? open = null;
        MediaTime since = sound.Take.CommonRange.Start;
        int rolling = 0, unfit = 0;
        var faults = new Dictionary<(string Path, int Channel), int>();
        foreach ((MediaTime at, (string Path, int Channel) mic, bool isFault, int change) in Edges(sound).OrderBy(edge => edge.At))
        {
            TimeRange passed = TimeRange.Between(since, at);
            if (!passed.IsEmpty)
            {
                if (rolling > 0 && unfit == rolling)
                {
                    open = TimeRange.Between(open?.Start ?? passed.Start, passed.End);
                }
                else if (open is { } ended)
                {
                    yield return ended;
                    open = null;
                }
            }

            since = at;
            if (isFault)
            {
                int before = faults.GetValueOrDefault(mic);
                faults[mic] = before + change;
                unfit += (before + change > 0 ? 1 : 0) - (before > 0 ? 1 : 0);
            }
            else
            {
                rolling += change;
            }
        }

        if (open is { } last)
        {
            yield return last;
        }
    }

    /// <summary>Where a mic begins or stops to roll, or to have a fault, within the take.</summary>
    private static IEnumerable<(MediaTime At, (string Path, int Channel) Mic, bool IsFault, int Change)> Edges(TakeSound sound)
    {
        TimeRange take = sound.Take.CommonRange;
        Dictionary<string, TimeRange> rolls = sound.Take.Placements.ToDictionary(
            placement => placement.Clip.File.Path, placement => placement.CommonRange.Intersect(take));
        var mics = sound.Take.Placements.SelectMany(placement => placement.Clip.SpeechMics.Select(mic => (
            Mic: (placement.Clip.File.Path, mic.Channel), Range: rolls[placement.Clip.File.Path], IsFault: false)));
        var faults = sound.Faults.Where(fault => fault.Kind.MakesUnfit()).Select(fault => (
            Mic: (fault.Source.Clip.File.Path, fault.Source.Mic.Channel),
            Range: fault.CommonRange.Intersect(rolls[fault.Source.Clip.File.Path]), IsFault: true));
        foreach (((string Path, int Channel) mic, TimeRange range, bool isFault) in mics.Concat(faults).Where(edge => !edge.Range.IsEmpty))
        {
            yield return (range.Start, mic, isFault, 1);
            yield return (range.End, mic, isFault, -1);
        }
    }
}
