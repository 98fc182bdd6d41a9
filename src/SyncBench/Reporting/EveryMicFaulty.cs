using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>Stretches of a take in which some mic rolls and every mic that rolls has a fault: no good sound exists there.</summary>
internal static class EveryMicFaulty
{
    internal static IEnumerable<TimeRange> Of(TakeSound sound)
    {
        (Placement Placement, MicChannel Mic)[] mics =
            [.. sound.Take.Placements.SelectMany(placement => placement.Clip.SpeechMics.Select(mic => (placement, mic)))];
        ILookup<(string Path, int Channel), TimeRange> faults = sound.Faults.ToLookup(
            fault => (fault.Source.Clip.File.Path, fault.Source.Mic.Channel), fault => fault.CommonRange);
        MediaTime[] edges =
        [
            .. sound.Faults.SelectMany(fault => Ends(fault.CommonRange))
                .Concat(sound.Take.Placements.SelectMany(placement => Ends(placement.CommonRange)))
                .Concat(Ends(sound.Take.CommonRange))
                .Where(edge => edge >= sound.Take.CommonRange.Start && edge <= sound.Take.CommonRange.End)
                .Distinct().Order(),
        ];
        TimeRange? open = null;
        for (int i = 0; i + 1 < edges.Length; i++)
        {
            (string Path, int Channel)[] rolling = [.. mics
                .Where(mic => mic.Placement.CommonRange.Contains(edges[i]))
                .Select(mic => (mic.Placement.Clip.File.Path, mic.Mic.Channel))];
            if (rolling.Length > 0 && rolling.All(mic => faults[mic].Any(range => range.Contains(edges[i]))))
            {
                open = TimeRange.Between(open?.Start ?? edges[i], edges[i + 1]);
            }
            else if (open is { } ended)
            {
                yield return ended;
                open = null;
            }
        }

        if (open is { } last)
        {
            yield return last;
        }
    }

    private static MediaTime[] Ends(TimeRange range) => [range.Start, range.End];
}
